"""The bin that was kept for a household is the one it took at the Door, whichever device is heard first."""

from collections.abc import Sequence

from outreach.bins.models import Handout, Promise

State = Promise.State


def of(root_id: int, made_at_the_door: Sequence[Handout]) -> Promise | None:
    """The promise that these handouts made good, else the one that is kept for the household."""
    of_household = Promise.objects.counted_for_any([root_id]).select_for_update()
    fulfilled = of_household.filter(handout__in=made_at_the_door).order_by("made_at", "pk").first()
    return fulfilled or of_household.kept().first()


def keep(promise: Promise | None, first: Handout | None) -> None:
    """It is made good by the first bin that stands; with none, it is kept as before."""
    if promise is None:
        return
    promise.refresh_from_db()
    if first is None and Promise.objects.kept().counted_for_any([promise.counted_under_id]).exists():
        return
    wanted = State.KEPT if first is None else State.FULFILLED
    if (promise.state, promise.handout_id) == (wanted, first.pk if first else None):
        return
    promise.state, promise.handout, promise.lapsed_at = wanted, first, None
    promise.full_clean()
    promise.save(update_fields=["state", "handout", "lapsed_at"])
