"""What workshops tell of a household: when it signed up, and when it came or is to come."""

from outreach.households.last_contact import Latest

CAME = Latest("workshops.Registration", of="counted_under", days=["workshop__held_on"])
SIGNED_UP = Latest("workshops.Booking", of="counted_under", instants=["made_at"])
