"""What happens to handouts, carried bins and stays when two records of one household are merged.

Rows keep the household they were recorded under; they count under the one that is kept. A bin that is
outside the rule only because the two are one becomes an exception 'merged'. Undoing it gives every row
its own household again, folds both anew, and so gives back the places and stays they had.
"""

from typing import Any

from django.db.models import Model
from django.utils import timezone

from outreach.bins import settling, stays
from outreach.bins.models import CarriedBin, Handout, Pause, Promise, RuleException
from outreach.bins.recorder import Recorder
from outreach.households.merging import records_of
from outreach.households.models import Household
from outreach.staff import audit

Kind = RuleException.Kind

# Named by each model that counts under a household and is moved; stays are made anew.
MOVED: dict[str, type[Model]] = {
    "handouts": Handout,
    "carried": CarriedBin,
    "promises": Promise,
    "pauses": Pause,
}


class CountBins:
    """Count the bins of the absorbed household under the kept one."""

    covers = frozenset(
        {
            "bins.Handout.household",
            "bins.Handout.counted_under",
            "bins.CarriedBin.household",
            "bins.CarriedBin.counted_under",
            "bins.Promise.household",
            "bins.Promise.counted_under",
            "bins.Pause.household",
            "bins.Pause.counted_under",
            "bins.Stay.household",
            "bins.Stay.counted_under",
            # The exception names the household it was flagged for.
            "bins.RuleException.household",
        }
    )

    def merge(self, kept: Household, absorbed: Household) -> Any:
        set_now: dict[str, Any] = {"from": absorbed.pk, "to": kept.pk}
        # Places are given up before the rows meet, so that no two of them ever claim the same one.
        for name, model in MOVED.items():
            rows = model._default_manager.filter(counted_under=absorbed).order_by("pk")
            set_now[name] = list(rows.values_list("pk", flat=True))
        settling.recount(kept.pk, set_now["handouts"])
        CarriedBin.objects.filter(pk__in=set_now["carried"]).update(counted_under=kept)
        set_now["let_go"] = _let_go_of_a_second_promise(kept, set_now["promises"])
        for name in ("promises", "pauses"):
            MOVED[name]._default_manager.filter(pk__in=set_now[name]).update(counted_under=kept)
        _fold(kept.pk, absorbed.pk)
        return set_now

    def undo(self, what_was_set: Any) -> None:
        back = {name: _with_those_since(model, what_was_set, name) for name, model in MOVED.items()}
        settling.recount(what_was_set["from"], back["handouts"])
        CarriedBin.objects.filter(pk__in=back["carried"]).update(counted_under=what_was_set["from"])
        for name in ("promises", "pauses"):
            MOVED[name]._default_manager.filter(pk__in=back[name]).update(counted_under=what_was_set["from"])
        _keep_again(what_was_set.get("let_go", []))
        _let_go_of_merged(what_was_set["from"], what_was_set["to"])
        _fold(what_was_set["to"], what_was_set["from"])


def _with_those_since(model: type[Model], what_was_set: Any, name: str) -> list[int]:
    """The rows that were moved, and those recorded since for the records that go back: these go back too."""
    rows = model._default_manager.order_by("pk")
    # A merge made before there were promises remembers none.
    was_moved = what_was_set.get(name, [])
    since = rows.filter(counted_under=what_was_set["to"], household__in=records_of(what_was_set["from"]))
    return sorted({*was_moved, *since.values_list("pk", flat=True)})


def _let_go_of_a_second_promise(kept: Household, promise_ids: list[int]) -> list[int]:
    """One bin is kept for one household; the one of the record that is kept stands."""
    if not Promise.objects.kept().counted_for(kept).exists():
        return []
    second = Promise.objects.kept().filter(pk__in=promise_ids)
    let_go = list(second.values_list("pk", flat=True))
    second.update(state=Promise.State.LAPSED, lapsed_at=timezone.now())
    return let_go


def _keep_again(promise_ids: list[int]) -> None:
    """Bins that were let go only because two records were one, unless another is kept by now."""
    for let_go in Promise.objects.filter(pk__in=promise_ids, state=Promise.State.LAPSED):
        if not Promise.objects.kept().counted_for(let_go.counted_under).exists():
            Promise.objects.filter(pk=let_go.pk).update(state=Promise.State.KEPT, lapsed_at=None)


def _fold(*root_ids: int) -> None:
    roots = settling.locked_roots(root_ids)
    settling.settle({root.pk: root for root in roots.values()}.values(), Recorder(None, timezone.now()))
    stays.rebuild_roots(root_ids)


def _let_go_of_merged(*root_ids: int) -> None:
    """Where a household stands alone again, what was ruled on 'merged' bins has no subject any more."""
    for handouts in settling.recorded_under(root_ids).values():
        if len({handout.household_id for handout in handouts}) > 1:
            continue
        for flag in {h.exception for h in handouts if h.exception and h.exception.kind == Kind.MERGED}:
            flag.reason, flag.reasoned_at, flag.allowed_by = "", None, None
            with audit.because("The merge was undone."):
                flag.save()
