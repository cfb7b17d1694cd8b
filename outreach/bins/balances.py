"""Balances under lock, in one order, so that two people never wait for each other."""

from collections.abc import Iterable

from outreach.bins.models import StockBalance

# A place and a bin model, by their numbers.
Key = tuple[int, int]


def locked_balances(keys: Iterable[Key]) -> dict[Key, StockBalance]:
    """The balances of these (place, model), made where missing, locked in order."""
    wanted = sorted(set(keys))
    if not wanted:
        return {}
    StockBalance.objects.bulk_create(
        [StockBalance(place_id=place, bin_model_id=model) for place, model in wanted], ignore_conflicts=True
    )
    rows = StockBalance.objects.select_for_update(of=("self",)).filter(
        place__in={place for place, _model in wanted}, bin_model__in={model for _place, model in wanted}
    )
    found = {(row.place_id, row.bin_model_id): row for row in rows.order_by("place_id", "bin_model_id")}
    return {key: found[key] for key in wanted}
