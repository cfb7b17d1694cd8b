"""The same person met in two households: linked by hand, counted once, and parted again."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.households.models import Participant


@transaction.atomic
def link_same_person(*, participant: Participant, same_as: Participant) -> Participant:
    """Count `participant` under `same_as` from now on; whoever counted under them follows.

    Each linked record names the one under which it counts, so links are never more than one step deep.
    """
    rows = Participant.objects.select_for_update().order_by("pk").in_bulk([participant.pk, same_as.pk])
    participant, same_as = rows[participant.pk], rows[same_as.pk]
    standing = same_as.same_person_as or same_as
    if standing.pk in {participant.pk, participant.same_person_as_id}:
        raise ValidationError(_("These two records are already one person."))
    if participant.same_person_as_id is not None:
        raise ValidationError(
            _("%(person)s is already linked to %(other)s. Part those two first.")
            % {"person": participant, "other": participant.same_person_as}
        )
    for record in [participant, *Participant.objects.linked_to(participant)]:
        record.same_person_as = standing
        record.full_clean()
        record.save(update_fields=["same_person_as"])
    return rows[participant.pk]


@transaction.atomic
def unlink(*, participant: Participant) -> Participant:
    """Let a linked record stand for itself again."""
    participant = Participant.objects.select_for_update().get(pk=participant.pk)
    if participant.same_person_as_id is None:
        raise ValidationError(_("%(person)s is not linked to anyone.") % {"person": participant})
    participant.same_person_as = None
    participant.save(update_fields=["same_person_as"])
    return participant
