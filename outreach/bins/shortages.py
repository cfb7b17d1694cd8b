"""Which handouts left a shelf that the ledger calls empty.

A flag without a reason follows the ledger: it lies on the last bins out, as many as the balance is short
of, and goes when a receipt or a count makes the shelf whole. One flag speaks for the bins of a model,
place and day. A flag with its reason stays.
"""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from django.db.models import Q
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from outreach.bins.balances import Key, locked_balances
from outreach.bins.chunks import in_chunks
from outreach.bins.models import Handout, RuleException, StockBalance, StockMovement
from outreach.bins.models.stock import StockMovementQuerySet
from outreach.bins.recorder import Recorder

Kind = RuleException.Kind


def settle(keys: Iterable[Key], recorder: Recorder) -> None:
    """Flag the last bins out of these (place, model), as many as the ledger is short of."""
    for balance in locked_balances(keys).values():
        out = _out_since_the_last_count(balance)
        ruled = out.exclude(handout__stock_exception__reason="").filter(
            handout__stock_exception__isnull=False
        )
        short = max(0, -balance.on_hand - ruled.count())
        _flag_last(balance, out, short, recorder)


def ease(keys: Iterable[Key]) -> None:
    """After a receipt, a count or a void: take away the flags that the ledger no longer bears out."""
    for balance in locked_balances(keys).values():
        flagged = _flagged(balance)
        last = flagged.order_by(*_LAST_FIRST).values_list("handout_id", flat=True)
        kept = set(last[: max(0, -balance.on_hand)])
        _unflag(flagged, kept)


_LAST_FIRST = ("-moved_on", "-handout__happened_at", "-handout__event_id")


def _out(balance: StockBalance) -> StockMovementQuerySet:
    """Bins of standing handouts that left this place."""
    return StockMovement.objects.filter(
        bin_model=balance.bin_model_id,
        from_place=balance.place_id,
        why=StockMovement.Why.HANDED_OUT,
        handout__voided_at__isnull=True,
    )


def _out_since_the_last_count(balance: StockBalance) -> StockMovementQuerySet:
    """A count settles what was before it."""
    here = Q(from_place=balance.place_id) | Q(to_place=balance.place_id)
    counts = StockMovement.objects.filter(here, bin_model=balance.bin_model_id, why=StockMovement.Why.COUNTED)
    last_count = counts.order_by("-id").values_list("id", flat=True).first() or 0
    return _out(balance).filter(id__gt=last_count)


def _flagged(balance: StockBalance) -> StockMovementQuerySet:
    return _out(balance).filter(handout__stock_exception__reason="")


def _flag_last(balance: StockBalance, out: StockMovementQuerySet, short: int, recorder: Recorder) -> None:
    unruled = out.filter(Q(handout__stock_exception__isnull=True) | Q(handout__stock_exception__reason=""))
    last = unruled.order_by(*_LAST_FIRST).values_list("handout_id", "moved_on", "handout__stock_exception_id")
    flags: dict[date, int] = {}
    wanted: dict[date, list[int]] = defaultdict(list)
    kept = set()
    for handout_id, day, flag_id in last[:short]:
        kept.add(handout_id)
        if flag_id:
            flags[day] = flag_id
        else:
            wanted[day].append(handout_id)
    for day, handout_ids in wanted.items():
        flag_id = flags.get(day) or _flag(balance, day, recorder)
        for ids in in_chunks(handout_ids):
            Handout.objects.filter(pk__in=ids).update(stock_exception=flag_id)
    _unflag(_flagged(balance), kept)


def _flag(balance: StockBalance, day: date, recorder: Recorder) -> int:
    about = _("%(model)s from %(place)s on %(day)s: the ledger had none left.")
    words = {"model": balance.bin_model, "place": balance.place, "day": date_format(day, "j F Y")}
    return RuleException.objects.create(
        kind=Kind.NONE_ON_LEDGER, about=about % words, flagged_at=recorder.at, flagged_by=recorder.by
    ).pk


def _unflag(flagged: StockMovementQuerySet, kept: set[int]) -> None:
    rows = flagged.values_list("handout_id", "handout__stock_exception_id")
    stale = [row for row in rows if row[0] not in kept]
    for some in in_chunks(stale):
        Handout.objects.filter(pk__in=[row[0] for row in some]).update(stock_exception=None)
        flags = RuleException.objects.filter(pk__in={row[1] for row in some}, stock_handouts__isnull=True)
        flags.delete()
