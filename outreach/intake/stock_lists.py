"""A row of a stock list → bins that came in or were counted on the shelf on a day."""

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from outreach.bins.models import BinModel
from outreach.intake.bin_names import BinNames, NewModel
from outreach.intake.fields import Fields, NotRead, PassedOver

MOST_BINS = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLine:
    """So many of one bin model received, given out elsewhere or counted; as far as the row says."""

    on: date
    bin_model: BinModel | NewModel
    received: int = 0
    gone: int = 0
    counted: int | None = None
    lot: str = ""
    note: str = ""
    doubts: tuple[str, ...] = ()


def read_stock_line(
    fields: Fields, listed_on: date | None, bins: BinNames
) -> StockLine | NotRead | PassedOver:
    """Understand one row; `listed_on` is the day of the whole list, for rows without one."""
    name = fields.text("bin_model") or fields.text("bin_taken") or fields.text("name")
    numbers = {says: _whole(fields.text(says)) for says in ("count_in", "count_out", "count_left")}
    if not name and not any(number for number in numbers.values()):
        return PassedOver()
    if not name:
        return NotRead(problem=_("Bin: no kind is named. Say which bin this is."))
    on = fields.day("date") or listed_on
    if on is None:
        return NotRead(problem=_("Date: no day could be read. Give the day of the delivery or count."))
    if wrong := [says for says, number in numbers.items() if number is None and fields.text(says)]:
        return NotRead(problem=_("Bins: %(columns)s is no number of bins.") % {"columns": ", ".join(wrong)})
    model = bins.find(name) or bins.add(name)
    if model is None:
        return NotRead(problem=_("Bin: its family cannot be told from the name. Add this bin model first."))
    return StockLine(
        on=on,
        bin_model=model,
        received=numbers["count_in"] or 0,
        gone=numbers["count_out"] or 0,
        counted=numbers["count_left"],
        lot=fields.text("lot")[:60],
        note=_note(fields),
    )


def _whole(text: str) -> int | None:
    plain = text.replace(",", "").removesuffix(".0").removeprefix("+")
    return int(plain) if plain.isdigit() and int(plain) <= MOST_BINS else None


def _note(fields: Fields) -> str:
    order = fields.text("order_number")
    parts = [fields.text("note", joined_by="; "), _("order %(number)s") % {"number": order} if order else ""]
    return "; ".join(filter(None, parts))[:300]
