"""What the bins app keeps beside its rows, compared with them and made anew: balances and stays."""

from collections import Counter

from django.db import transaction
from django.db.models import Sum

from outreach.bins import stays
from outreach.bins.balances import Key, locked_balances
from outreach.bins.chunks import in_chunks
from outreach.bins.models import CarriedBin, Handout, Stay, StockBalance, StockMovement, StockPlace


def on_hand_by_movements() -> Counter[Key]:
    """What lies at each store, added up from every movement."""
    on_hand: Counter[Key] = Counter()
    for column, sign in (("to_place", 1), ("from_place", -1)):
        rows = StockMovement.objects.filter(**{f"{column}__kind": StockPlace.Kind.STORE}).order_by()
        for place, model, quantity in rows.values_list(column, "bin_model").annotate(Sum("quantity")):
            on_hand[place, model] += sign * quantity
    return on_hand


def balances_that_differ() -> list[str]:
    """One line for each balance that the movements do not bear out."""
    added_up = on_hand_by_movements()
    kept = {
        (balance.place_id, balance.bin_model_id): balance
        for balance in StockBalance.objects.select_related("place", "bin_model")
    }
    lines = []
    for key in sorted(added_up.keys() | kept.keys()):
        balance = kept.get(key)
        said = (balance.on_hand, balance.excused) if balance else (0, 0)
        if said != (added_up[key], max(0, -added_up[key])):
            lines.append(
                f"place {key[0]}, bin model {key[1]}: kept {said[0]}, the movements add up to {added_up[key]}"
            )
    return lines


@transaction.atomic
def rebuild_balances() -> None:
    """Write every balance as the movements add up."""
    added_up = on_hand_by_movements()
    keys = added_up.keys() | set(StockBalance.objects.values_list("place_id", "bin_model_id"))
    for key, balance in locked_balances(keys).items():
        balance.change_by(added_up[key] - balance.on_hand)
        balance.save()


def _with_bins() -> list[int]:
    """Every household that has, or is said to have had, a bin."""
    found: set[int] = set()
    for model in (Handout, CarriedBin, Stay):
        found |= set(model.objects.order_by().values_list("counted_under", flat=True).distinct())
    return sorted(found)


def stays_that_differ() -> list[str]:
    """One line for each household whose stays are not what its handouts, returns and moves say."""
    wrong = [pk for ids in in_chunks(_with_bins()) for pk in stays.differences(ids)]
    return [f"household {pk}: its stays differ from its handouts, returns and moves" for pk in wrong]


def rebuild_stays() -> None:
    stays.rebuild_roots(_with_bins())
