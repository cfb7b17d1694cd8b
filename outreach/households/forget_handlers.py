"""What households, the outbox and the staff's own tables do when people are forgotten."""

from outreach.households.forgetting import ForgetHandler
from outreach.households.forgetting_rows import Rows
from outreach.households.models import Household, Participant
from outreach.households.whom import Whom
from outreach.post import posting

STAFF = "It names a member of staff, who signs in; that is ended under People."


class People:
    """The records of the people themselves; a number takes the place of the name."""

    covers = frozenset(
        f"households.Participant.{name}"
        for name in ("full_name", "name_key", "email", "phone", "phone_key", "note")
    )

    def forget(self, whom: Whom) -> dict[str, int]:
        for number in whom.people:
            Participant.objects.numbered([number]).update(
                full_name=f"forgotten {number}",
                name_key=f"FORGOTTEN {number}",
                email="",
                phone="",
                phone_key="",
                note="",
            )
        return {"households.Participant": len(whom.people)} if whom.people else {}


class Homes:
    """Addresses of households of which nobody remains; city, ZIP and district stay."""

    covers = frozenset(
        f"households.Household.{name}"
        for name in ("street", "unit", "address_key", "street_key", "unit_key", "note")
    )

    def forget(self, whom: Whom) -> dict[str, int]:
        for number in whom.homes:
            key = f"FORGOTTEN {number}"
            Household.objects.numbered([number]).update(
                street=f"forgotten {number}",
                unit="",
                address_key=key,
                street_key=key,
                unit_key="",
                note="",
            )
        return {"households.Household": len(whom.homes)} if whom.homes else {}


class Messages:
    """Everything that went to them, or waits to."""

    covers = frozenset(
        f"post.Message.{name}"
        for name in (
            "recipient_name",
            "recipient_email",
            "recipient_phone",
            "recipient_postal",
            "subject",
            "body",
            "last_error",
            "about_url",
        )
    )

    def forget(self, whom: Whom) -> dict[str, int]:
        at = whom.at
        emptied = sum(posting.forget(number=number, at=at) for number in sorted(whom.people))
        emptied += posting.forget_addresses(emails=whom.emails, at=at)
        others = Rows("post.Message", masks=("subject", "body", "recipient_name", "recipient_postal"))
        more = others.forget(whom).get("post.Message", 0)
        return {"post.Message": emptied + more} if emptied + more else {}


HANDLERS: dict[str, ForgetHandler] = {
    "people": People(),
    "homes": Homes(),
    "messages": Messages(),
    "merges": Rows(
        "households.HouseholdMerge",
        empties=["reason"],
        of_homes=["kept", "absorbed"],
    ),
    "holds": Rows("households.ForgettingHold", empties=["reason"], of_homes=["household"]),
    "jobs": Rows("staff.Job", masks=["arguments", "message", "result"]),
    "trail": Rows(
        "staff.AuditEntry",
        masks=["reason"],
        leaves={
            "actor_email": STAFF,
            "remote_addr": "It is the network address of a member of staff.",
            "remote_port": "It is the network address of a member of staff.",
        },
    ),
    "staff": Rows("staff.StaffMember", leaves=dict.fromkeys(("username", "full_name", "password"), STAFF)),
}
