"""What sign-up and workshops empty when people are forgotten; that somebody came stays."""

from outreach.households.forgetting_rows import Rows

HANDLERS = {
    "workshops": Rows("workshops.Workshop", masks=["note", "state_reason"]),
    "registrations": Rows(
        "workshops.Registration",
        empties=["waiver_initials", "note"],
        of_people=["participant"],
        of_homes=["household", "counted_under"],
    ),
    "bookings": Rows(
        "workshops.Booking",
        empties=["typed_name", "email", "phone", "needs"],
        of_people=["lead"],
        of_homes=["household", "counted_under"],
    ),
    "waivers": Rows(
        "workshops.WaiverAcceptance",
        empties=["typed_name"],
        masks=["taken_by"],
        of_people=["participant"],
        of_homes=["participant__household"],
    ),
    "sign-up tries": Rows(
        "workshops.SignUpTry", leaves={"key": "It is a digest of an address and is gone after a day."}
    ),
}
