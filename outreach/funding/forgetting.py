"""Free text beside money and hours: a resident who also helped, or is named in a remark, is put out."""

from outreach.households.forgetting_rows import Rows

HANDLERS = {
    "funding sources": Rows("funding.FundingSource", masks=["note"]),
    "costs": Rows("funding.Cost", masks=["note", "void_reason"]),
    "hours": Rows("funding.Hours", masks=["volunteer", "note", "void_reason"]),
}
