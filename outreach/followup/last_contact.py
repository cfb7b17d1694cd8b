"""What follow-up tells of a household: when it answered, was visited, or weighed. Our asking is no sign of them."""

from outreach.households.last_contact import Latest

SOURCES = {
    "answers": Latest("followup.Answer", of="counted_under", days=["answered_on"]),
    "site checks": Latest("followup.SiteCheck", of="counted_under", days=["checked_on"]),
    "weigh-ins": Latest("followup.WeighIn", of="counted_under", days=["replied_on", "scale_back_on"]),
}
