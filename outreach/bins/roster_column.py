"""The roster's column 'bin taken': what each household took at the workshop, or a small form to hand one out."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from outreach.bins.models import Handout, Promise, StockBalance
from outreach.workshops.models import Registration


@dataclass(frozen=True, slots=True, kw_only=True)
class BinCell:
    """Bins taken at this workshop, the household's earlier one, and the shelves to take one from."""

    taken: tuple[Handout, ...]
    earlier: Handout | None
    shelves: tuple[tuple[str, str], ...]
    # Kept for the household here, or owed to it.
    promise: Promise | None = None


def cells(registrations: Sequence[Registration]) -> dict[int, BinCell]:
    """One cell for each registration; three queries, however long the list."""
    roots = {registration.counted_under_id for registration in registrations}
    by_root: dict[int, list[Handout]] = defaultdict(list)
    handouts = Handout.objects.standing().counted_for_any(roots).select_related("bin_model")
    for handout in handouts.order_by("handed_on", "pk"):
        by_root[handout.counted_under_id].append(handout)
    shelves = shelves_with_bins()
    promises = {one.counted_under_id: one for one in Promise.objects.kept().counted_for_any(roots)}
    return {
        one.pk: replace(
            _cell(one, by_root[one.counted_under_id], shelves), promise=promises.get(one.counted_under_id)
        )
        for one in registrations
    }


def _cell(
    registration: Registration, handouts: list[Handout], shelves: tuple[tuple[str, str], ...]
) -> BinCell:
    taken = [
        handout
        for handout in handouts
        if handout.workshop_id == registration.workshop_id
        and handout.participant_id in (None, registration.participant_id)
    ]
    others = [handout for handout in handouts if handout not in taken]
    return BinCell(taken=tuple(taken), earlier=others[0] if others else None, shelves=shelves)


def shelves_with_bins() -> tuple[tuple[str, str], ...]:
    """Bin model and place as one choice, 'model-place', where the ledger has any left."""
    balances = StockBalance.objects.with_bins().select_related("place", "bin_model")
    return tuple(
        (f"{one.bin_model_id}-{one.place_id}", f"{one.bin_model}, {one.place} ({one.on_hand})")
        for one in balances
    )
