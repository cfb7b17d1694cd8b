"""Bins that went home from the table, folded from everything the Door says of a household.

A bin that paper has already put on record is the same fact. What a person ruled stands: a handout that the
office voided is not made again, and one that it gave the reason for is not taken back.
"""

import uuid
from collections.abc import Sequence
from datetime import datetime
from typing import cast

from django.core.exceptions import ValidationError
from django.db.models import Q
from django.utils.translation import gettext as _

from outreach.bins import excepting, handing_out, ledger, settling, shortages, stays
from outreach.bins.models import BinModel, Handout, RuleException
from outreach.bins.recorder import Recorder
from outreach.door import promises
from outreach.door.models import Copay, EventOutcome
from outreach.door.reading import BinGiven, read
from outreach.door.scenes import Scene, keep, person_of, split, write
from outreach.households.models import Household, Participant

State = EventOutcome.State
KIND = "bin_given"


def settle(scene: Scene, outcome: EventOutcome, fact: BinGiven) -> None:
    outcome.participant = person_of(scene, fact.who)
    if not BinModel.objects.filter(pk=fact.model).exists():
        raise ValidationError(_("No bin model of that number is on record."))
    keep(outcome)
    if fact.how:
        copay = Copay(event=outcome.event, how=fact.how, cents=fact.cents, receipt=fact.receipt, why=fact.why)
        copay.full_clean()
        copay.save()
    fold(scene, outcome.participant.household)


def is_ruled(outcome: EventOutcome) -> bool:
    """The office has given the reason for this bin."""
    handout = outcome.handout
    if handout is None or handout.exception is None or not handout.exception.reason:
        return False
    return handout.exception.reason != reason_at_the_door(outcome)


def reason_at_the_door(outcome: EventOutcome) -> str:
    """The reason that whoever may except gave at the table."""
    fact = _fact(outcome)
    event = outcome.event
    if not fact.reason or not event.device.may_except:
        return ""
    words = _("%(reason)s (%(name)s, at the Door)")
    return (words % {"reason": fact.reason[:200], "name": event.by_name or event.device.by_name})[:300]


def fold(scene: Scene, household: Household) -> None:
    """Bring the handouts of a household at this workshop to what the Door says."""
    root = settling.locked_roots([household.pk])[household.pk]
    people = Participant.objects.filter(Q(household=root.pk) | Q(household__merged_into=root.pk))
    outcomes = scene.told_of(people, KIND)
    recorder = Recorder(outcomes[-1].event.device.staff_member, scene.at)
    given = _Given(scene, root.pk, outcomes)
    promised = promises.of(root.pk, given.handouts())
    _take_reasons_back(given)
    _void(given, scene)
    new = given.missing(recorder)
    settling.settle([root], recorder, new)
    ledger.hand_over(new, scene.place, recorder)
    shortages.settle({(scene.place.pk, handout.bin_model_id) for handout in new}, recorder)
    given.note(new)
    _give_reasons(given, scene)
    stays.rebuild_roots([root.pk])
    promises.keep(promised, given.first_standing())


class _Given:
    """The bins of one household at one workshop: what the Door says, and what is on record."""

    def __init__(self, scene: Scene, root_id: int, outcomes: Sequence[EventOutcome]) -> None:
        self._scene, self._root_id = scene, root_id
        self.standing, self.undone = split(scene, outcomes)
        self.facts = {one.pk: _fact(one) for one in outcomes}
        self._own = self._of_the_door(outcomes)
        self._paper = self._of_paper(outcomes)
        self._assign()

    def _of_the_door(self, outcomes: Sequence[EventOutcome]) -> dict[uuid.UUID, Handout]:
        """Handouts that the Door made, by the number that it gave them."""
        numbers = {fact.handout for fact in self.facts.values()}
        known = Handout.objects.select_related("exception").filter(event_id__in=numbers)
        return {handout.event_id: handout for handout in known}

    def _of_paper(self, outcomes: Sequence[EventOutcome]) -> list[Handout]:
        """Standing handouts of that day here that came from elsewhere, to be matched one by one."""
        workshop = self._scene.workshop
        here = Q(workshop=workshop) | Q(workshop__isnull=True, handed_on=workshop.held_on)
        standing = Handout.objects.standing().filter(here, counted_under=self._root_id, replaces__isnull=True)
        found = standing.exclude(event_id__in=list(self._own)).select_related("bin_model").order_by("pk")
        return list(found)

    def _assign(self) -> None:
        """Which handout each event that stands speaks of; `unmade` are those that have none yet."""
        self.of_event: dict[uuid.UUID, Handout] = {}
        self.known: set[uuid.UUID] = set()
        self.unmade: list[EventOutcome] = []
        seen: set[uuid.UUID] = set()
        families = dict(BinModel.objects.values_list("pk", "family"))
        for one in self.standing:
            fact = self.facts[one.pk]
            own = self._own.get(fact.handout)
            if fact.handout in seen or _was_voided_by_a_person(one):
                self._speaks_of(one, own or one.handout)
            elif paper := self._same_on_paper(one, families[fact.model]):
                self._paper.remove(paper)
                self._speaks_of(one, paper)
            elif own is not None and own.voided_at is None:
                self.of_event[one.pk] = own
            else:
                self.unmade.append(one)
            seen.add(fact.handout)

    def _speaks_of(self, one: EventOutcome, handout: Handout | None) -> None:
        """It adds nothing to what is, or was, on record."""
        self.known.add(one.pk)
        if handout is not None:
            self.of_event[one.pk] = handout

    def _same_on_paper(self, one: EventOutcome, family: str) -> Handout | None:
        fitting = [paper for paper in self._paper if paper.bin_model.family == family]
        theirs = [paper for paper in fitting if paper.participant_id == one.participant_id]
        return next(iter(theirs or fitting), None)

    def handouts(self) -> list[Handout]:
        """All that the Door made."""
        return list(self._own.values())

    def obsolete(self) -> list[tuple[Handout, EventOutcome]]:
        """Handouts of the Door that stand and should not: undone, or by now known to be the one on paper."""
        wanted = {handout.pk for handout in self.of_event.values()}
        by_number = {self.facts[one.pk].handout: one for one in (*self.standing, *self.undone)}
        standing = [handout for handout in self._own.values() if handout.voided_at is None]
        return [(one, by_number[one.event_id]) for one in standing if one.pk not in wanted]

    def missing(self, recorder: Recorder) -> list[Handout]:
        """New handouts, not saved, for events that have none."""
        return [self._handout(one, recorder) for one in self.unmade]

    def _handout(self, one: EventOutcome, recorder: Recorder) -> Handout:
        fact, event, workshop = self.facts[one.pk], one.event, self._scene.workshop
        number = fact.handout if fact.handout not in self._own else uuid.uuid5(fact.handout, str(recorder.at))
        person = cast(Participant, one.participant)
        self.of_event[one.pk] = handout = Handout(
            event_id=number,
            household_id=person.household_id,
            counted_under_id=self._root_id,
            participant_id=person.pk,
            workshop_id=workshop.pk,
            bin_model_id=fact.model,
            how=Handout.How.WORKSHOP,
            lot=fact.lot,
            copay_cents=fact.cents,
            handed_on=workshop.held_on,
            happened_at=cast(datetime, event.corrected_at),
            entered_at=recorder.at,
            entered_by_id=recorder.by.pk if recorder.by else None,
        )
        return handout

    def note(self, new: Sequence[Handout]) -> None:
        """Write down what each event came to."""
        for one in self.standing:
            state = State.KNOWN if one.pk in self.known else State.APPLIED
            write([one], state=state, handout_id=_number(self.of_event.get(one.pk)))
        for one in self.undone:
            own = self._own.get(self.facts[one.pk].handout)
            write([one], state=State.UNDONE, handout_id=_number(own))

    def first_standing(self) -> Handout | None:
        here = [self.of_event[one.pk] for one in self.standing if one.pk in self.of_event]
        return next((handout for handout in here if handout.voided_at is None), None)


def _number(handout: Handout | None) -> int | None:
    return handout.pk if handout is not None else None


def _was_voided_by_a_person(outcome: EventOutcome) -> bool:
    """The handout it was last said to speak of is void, and the Door did not undo it."""
    return outcome.handout is not None and outcome.handout.voided_at is not None


def _fact(outcome: EventOutcome) -> BinGiven:
    return cast(BinGiven, read(outcome.event, outcome.corrections))


def _void(given: _Given, scene: Scene) -> None:
    for handout, outcome in given.obsolete():
        by = outcome.event.device.answerable
        handing_out.void(handout=handout, reason=_("Undone at the Door."), by=by, at=scene.at)


def _take_reasons_back(given: _Given) -> None:
    """Reasons from the table follow the facts: a bin that turns out to be in the rule needs none."""
    for one in (*given.standing, *given.undone):
        handout = given.of_event.get(one.pk)
        flag = handout.exception if handout is not None else None
        if flag is not None and flag.reason and flag.reason == reason_at_the_door(one):
            RuleException.objects.filter(pk=flag.pk).update(reason="", reasoned_at=None, allowed_by=None)


def _give_reasons(given: _Given, scene: Scene) -> None:
    for one in given.standing:
        reason, handout = reason_at_the_door(one), given.of_event.get(one.pk)
        if not reason or handout is None or one.pk in given.known:
            continue
        flag = RuleException.objects.without_reason().filter(handouts=handout.pk).first()
        if flag is not None:
            excepting.give_reason(exception=flag, reason=reason, by=one.event.device.answerable, at=scene.at)
