"""Bins that sheets say went home, compared with those on record: the same fact, a difference, or a new one."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.bins.chunks import in_chunks
from outreach.bins.models import BinModel, Handout
from outreach.bins.recording_facts import HandoutFact, record_facts
from outreach.households.models import Household, Participant
from outreach.intake.bin_names import BinNames
from outreach.intake.results import Batch, RowResult
from outreach.intake.sign_in_sheets import SignIn
from outreach.intake.stock_records import default_store, saved_model
from outreach.workshops.models import Workshop

NOON = time(12)
Place = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class BinsGone:
    """What one row says of bins, beside whom it was about; `came_before`: recorded as having come before."""

    row: RowResult
    fact: SignIn
    workshop: Workshop
    household: Household
    participant: Participant
    came_before: bool

    @property
    def place(self) -> Place:
        return self.workshop.pk, self.household.pk


def write_handouts(batch: Batch, gone: Sequence[BinsGone], names: BinNames) -> None:
    """Record each bin that is not on record, in the order of the rows."""
    recorded = _OnRecord(gone, batch.of_earlier_rows)
    facts: list[HandoutFact] = []
    owners: list[RowResult] = []
    for position, bins in enumerate(gone):
        for number, model in enumerate(_models(bins, names)):
            if recorded.settles(bins, model):
                continue
            facts.append(_fact(batch, bins, model, position, number))
            owners.append(bins.row)
        recorded.notice_missing(bins)
    if not facts:
        return
    had_one = _had_one({fact.household.pk for fact in facts})
    handouts = record_facts(facts, from_place=default_store(), by=batch.by, at=batch.at)
    for row, handout in zip(owners, handouts, strict=True):
        row.add(handout)
    batch.counts["handouts"] += len(handouts)
    first = {handout.counted_under_id for handout in handouts} - had_one
    batch.counts["second_bins"] += len(handouts) - len(first)


def _models(bins: BinsGone, names: BinNames) -> list[BinModel]:
    """The bin model of each bin that went home; a kind nobody knows goes to review."""
    models = []
    for said in bins.fact.bins:
        found = names.find(said)
        if found is None:
            bins.row.leave_open(_("Kind of bin: it cannot be told which. Choose the bin that went home."))
        else:
            models.append(saved_model(found, bins.row))
            names.now_recorded(models[-1])
    return models


class _OnRecord:
    """Handouts of these households at these workshops as they were before this file, used up one by one."""

    def __init__(self, gone: Sequence[BinsGone], of_earlier_rows: Collection[int]) -> None:
        self._of_earlier_rows = of_earlier_rows
        self._left: dict[Place, list[Handout]] = defaultdict(list)
        self._in_file: dict[tuple[int, int], list[str]] = defaultdict(list)
        workshops = {bins.workshop.pk: bins.workshop for bins in gone}
        days = defaultdict(list)
        for workshop in workshops.values():
            days[workshop.held_on].append(workshop.pk)
        for handout in _handouts_of({bins.household.pk for bins in gone}, workshops, set(days)):
            at = [handout.workshop_id] if handout.workshop_id else days[handout.handed_on]
            for workshop_id in at:
                self._left[workshop_id, handout.counted_under_id].append(handout)

    def settles(self, bins: BinsGone, model: BinModel) -> bool:
        """Whether this bin needs no new handout: it is on record, or differs and goes to review."""
        earlier_rows = self._in_file[bins.workshop.pk, bins.participant.pk]
        if earlier_rows and not bins.row.prepared.is_decided and not _of_this_row(earlier_rows, bins):
            return _compare_rows(bins, model, earlier_rows)
        if same := self._same(bins, model):
            self._left[bins.place].remove(same)
            bins.row.known()
            return True
        if bins.came_before and not bins.row.prepared.is_decided:
            bins.row.doubt(self._difference(bins))
            bins.row.known()
            return True
        self._in_file[bins.workshop.pk, bins.participant.pk].append(f"{_row_key(bins)}|{model.family}")
        return False

    def _same(self, bins: BinsGone, model: BinModel) -> Handout | None:
        fitting = [handout for handout in self._left[bins.place] if handout.bin_model.family == model.family]
        own = [handout for handout in fitting if handout.participant_id == bins.participant.pk]
        # Somebody else's row of the same sheet is another bin, not the same one once more.
        others = [handout for handout in fitting if handout.pk not in self._of_earlier_rows]
        return next(iter(own or others), None)

    def _difference(self, bins: BinsGone) -> str:
        if self._left[bins.place]:
            return _("Bin: another kind is recorded for this household that day. Say which it was.")
        return _("Bin: recorded as having come without a bin. Say whether one went home.")

    def notice_missing(self, bins: BinsGone) -> None:
        """No bin on this sheet, yet one is on record for this very person that day."""
        own = [one for one in self._left[bins.place] if one.participant_id == bins.participant.pk]
        if own and not bins.fact.bins and bins.came_before and not bins.row.prepared.is_decided:
            bins.row.doubt(_("Bin: one is recorded for this person that day, none on this sheet."))


def _row_key(bins: BinsGone) -> str:
    return f"{bins.row.prepared.sheet}/{bins.row.prepared.number}"


def _of_this_row(earlier_rows: Iterable[str], bins: BinsGone) -> bool:
    return all(row.startswith(f"{_row_key(bins)}|") for row in earlier_rows)


def _compare_rows(bins: BinsGone, model: BinModel, earlier_rows: list[str]) -> bool:
    """The same person twice on a sheet is one; two kinds of bin are a difference."""
    if not any(row.endswith(f"|{model.family}") for row in earlier_rows):
        bins.row.doubt(_("Bin: this person is on the sheet twice, with different kinds. Say what is right."))
    bins.row.known()
    return True


def _handouts_of(household_ids: set[int], workshops: Iterable[int], days: set[object]) -> Iterable[Handout]:
    at_these = Q(workshop__in=list(workshops)) | Q(workshop__isnull=True, handed_on__in=list(days))
    for ids in in_chunks(sorted(household_ids)):
        standing = Handout.objects.standing().filter(at_these, counted_under__in=ids)
        yield from standing.select_related("bin_model").order_by("pk")


def _had_one(root_ids: set[int]) -> set[int]:
    """Those households that have a standing handout already."""
    roots: set[int] = set()
    for ids in in_chunks(sorted(root_ids)):
        standing = Handout.objects.standing().filter(counted_under__in=ids)
        roots |= set(standing.values_list("counted_under_id", flat=True))
    return roots


def _fact(batch: Batch, bins: BinsGone, model: BinModel, position: int, number: int) -> HandoutFact:
    """Rows keep their order within the day, so that of two bins for one household the first is first."""
    starts = bins.workshop.starts_at_time or NOON
    at = timezone.make_aware(datetime.combine(bins.workshop.held_on, starts))
    return HandoutFact(
        household=bins.household,
        bin_model=model,
        handed_on=bins.workshop.held_on,
        happened_at=at + timedelta(seconds=position),
        participant=bins.participant,
        workshop=bins.workshop,
        event_id=batch.event(bins.row, f"bin{number}"),
    )
