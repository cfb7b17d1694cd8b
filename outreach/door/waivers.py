"""Which waiver a person accepted at the Door: the earliest acceptance that stands."""

from datetime import datetime
from typing import cast

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from outreach.door.models import EventOutcome
from outreach.door.reading import WaiverAccepted, read
from outreach.door.scenes import Scene, keep, person_of, split, write
from outreach.households import consent, consent_words
from outreach.households.models import Participant
from outreach.workshops.models import Registration, WaiverAcceptance, WaiverText

State = EventOutcome.State
KIND = "waiver_accepted"


def settle(scene: Scene, outcome: EventOutcome, fact: WaiverAccepted) -> None:
    outcome.participant = person_of(scene, fact.who)
    _text(fact)
    words = consent_words.FOLLOW_UP.get(fact.consent_words)
    if fact.may_ask is not None and words is None:
        raise ValidationError(_("There is no such version of the words on being asked later."))
    keep(outcome)
    _note_consent(outcome, fact)
    fold(scene, outcome.participant)


def _note_consent(outcome: EventOutcome, fact: WaiverAccepted) -> None:
    """What they ticked beside the waiver stands by itself: taking the waiver back does not unsay it."""
    if fact.may_ask is not None and outcome.participant is not None:
        consent.note_door(
            household=outcome.participant.household,
            is_given=fact.may_ask,
            words=fact.consent_words,
            at=cast(datetime, outcome.event.corrected_at),
        )


def fold(scene: Scene, person: Participant) -> None:
    """Keep the earliest that stands. One that is on record from elsewhere, on paper or by a person, stays."""
    outcomes = scene.told_of([person], KIND)
    standing, undone = split(scene, outcomes)
    kept = WaiverAcceptance.objects.at(scene.workshop).filter(participant=person).first()
    is_ours = kept is None or kept.event_id in {one.event_id for one in outcomes}
    write(undone, state=State.UNDONE)
    write(standing, state=State.APPLIED if is_ours else State.KNOWN)
    if is_ours and standing:
        _keep(scene, kept or WaiverAcceptance(workshop=scene.workshop, participant=person), standing[0])
    elif is_ours and kept is not None:
        kept.delete()


def _keep(scene: Scene, acceptance: WaiverAcceptance, first: EventOutcome) -> None:
    event = first.event
    if acceptance.event_id == event.pk:
        return
    fact = cast(WaiverAccepted, read(event, first.corrections))
    acceptance.event_id, acceptance.text, acceptance.typed_name = event.pk, _text(fact), fact.typed_name
    acceptance.accepted_at = cast(datetime, event.corrected_at)
    acceptance.taken_by = event.by_name or event.device.by_name
    here = Registration.objects.at(scene.workshop)
    acceptance.registration = here.filter(participant=acceptance.participant_id).first()
    acceptance.full_clean()
    acceptance.save()


def _text(fact: WaiverAccepted) -> WaiverText:
    text = WaiverText.objects.worded(fact.version, fact.language)
    if text is None:
        words = _("There is no version %(version)d of the waiver in that language ('%(language)s').")
        raise ValidationError(words % {"version": fact.version, "language": fact.language})
    return text
