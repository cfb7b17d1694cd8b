"""What forgetting people by their numbers does not reach: contact data of whoever belongs to no household."""

from typing import Any

from django.apps import apps
from django.core.files.storage import default_storage
from django.db import transaction

from outreach.households.forgetting_rows import emptied, rewrite
from outreach.intake.models import PaperworkFile
from outreach.staff import guard
from outreach.staff.audit import MASK

# Words that lead to someone, wherever they stand. What the staff wrote about money and stock stays.
SWEPT = {
    "post.Message": (
        "recipient_name",
        "recipient_email",
        "recipient_phone",
        "recipient_postal",
        "subject",
        "body",
        "last_error",
        "about_url",
    ),
    "workshops.Booking": ("typed_name", "email", "phone", "needs"),
    "workshops.Registration": ("waiver_initials", "note"),
    "workshops.WaiverAcceptance": ("typed_name",),
    "coaching.HelpRequest": (
        "own_words",
        "written_name",
        "written_address",
        "email",
        "phone",
        "outcome_note",
    ),
    "bins.Handout": ("picked_up_by", "note"),
    "followup.Answer": ("why_stopped", "problems", "harvested", "remarks"),
    "followup.Invitation": ("said",),
    "funding.Hours": ("volunteer",),
    "intake.PaperworkRow": ("cells",),
    "disclosure.RecordsRequest": ("requester", "asked_for"),
    "disclosure.Handover": ("to_whom",),
    "staff.Job": ("arguments", "message", "result"),
}
# Parts of what a device of the Door sent.
NAMED_IN_EVENTS = {"name", "email", "phone", "street", "unit", "typed_name"}


def sweep() -> dict[str, int]:
    """Empty them all; how many rows of which table changed. Done again it changes nothing."""
    counts = {}
    for label, names in SWEPT.items():
        model = apps.get_model(label)
        with transaction.atomic(), guard.lifted_for(model):
            counts[label] = len(rewrite(model._default_manager.all(), names, emptied))
    counts["door.DoorEvent"] = _events()
    counts["paperwork"] = _paperwork()
    return {label: number for label, number in counts.items() if number}


def _events() -> int:
    model = apps.get_model("door.DoorEvent")
    with transaction.atomic(), guard.lifted_for(model):
        return len(rewrite(model._default_manager.all(), ["body"], without_names))


def without_names(body: Any) -> Any:
    """What a device said, with the parts that name someone put out."""
    if isinstance(body, dict):
        return {
            key: MASK if key in NAMED_IN_EVENTS and value else without_names(value)
            for key, value in body.items()
        }
    if isinstance(body, list):
        return [without_names(one) for one in body]
    return body


def _paperwork() -> int:
    """Sheets as they were taken in; their digests stay with the filings' packs."""
    there = [one.stored_as for one in PaperworkFile.objects.all() if default_storage.exists(one.stored_as)]
    for name in there:
        default_storage.delete(name)
    return len(there)
