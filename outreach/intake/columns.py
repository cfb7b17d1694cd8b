"""What each column of a sheet says: from its heading, checked against its contents; else from these alone."""

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Self

from django.utils.translation import gettext_lazy as _

from outreach.intake import contents as seen
from outreach.intake.contents import MANY, MOST, Contents
from outreach.intake.sheets import SheetRow, Value, as_text
from outreach.intake.vocabulary import entries_in
from outreach.places.serving import PlacesList

# What a column can say, in the order of the select; '' is not read.
SAYS = {
    "": _("not read"),
    "number": _("running number"),
    "row_code": _("code of the row"),
    "name": _("name"),
    "given_name": _("first name"),
    "family_name": _("last name"),
    "address": _("address"),
    "unit": _("unit"),
    "city": _("city"),
    "state": _("state"),
    "zip": _("ZIP"),
    "email": _("e-mail"),
    "phone": _("phone"),
    "contact": _("e-mail or phone"),
    "language": _("language"),
    "bin_taken": _("a bin went home"),
    "bin_model": _("kind of bin"),
    "bin_count": _("how many bins"),
    "waiver": _("initials for the waiver"),
    "party": _("people in all"),
    "came": _("came"),
    "date": _("date"),
    "starts": _("start of the workshop"),
    "venue": _("venue"),
    "jurisdiction": _("jurisdiction"),
    "count_in": _("bins in"),
    "count_out": _("bins out"),
    "count_left": _("bins on the shelf"),
    "lot": _("lot"),
    "order_number": _("order number"),
    "unit_cost": _("cost of one"),
    "composting": _("still composting"),
    "food": _("food scraps"),
    "yard": _("yard trimmings"),
    "before": _("where it went before"),
    "composted_before": _("composted before"),
    "new_to_composting": _("new to composting"),
    "problems": _("problems"),
    "wants_help": _("wants help"),
    "why_stopped": _("why they stopped"),
    "stopped_on": _("stopped on"),
    "note": _("note"),
}
# Several columns may say these; of the others the first is read.
MAY_REPEAT = frozenset({"", "note", "address", "email", "phone", "contact", "problems"})

Test = Callable[[Contents], bool]


def _some(*tests: Callable[[Value], bool], share: float = MOST) -> Test:
    return lambda contents: sum(contents.share(test) for test in tests) >= share


# What contents must look like for a heading to be believed; a role without an entry is always believed.
_MUST_LOOK_LIKE: dict[str, Test] = {
    "email": _some(seen.is_contact, share=MANY),
    "phone": _some(seen.is_contact, share=MANY),
    "zip": _some(seen.is_zip, share=MANY),
    "date": _some(seen.is_date),
    "starts": _some(seen.is_start),
    "food": _some(seen.is_amount, share=MANY),
    "yard": _some(seen.is_amount, share=MANY),
    "composting": _some(seen.is_composting, share=MANY),
    "bin_taken": _some(seen.is_sign, seen.is_bin, share=MANY),
    "bin_model": lambda contents: contents.share(seen.is_sign) < MOST,
    "bin_count": _some(seen.is_number),
    "party": _some(seen.is_number, share=MANY),
    "count_in": _some(seen.is_number),
    "count_out": _some(seen.is_number),
    "count_left": _some(seen.is_number),
    "given_name": lambda contents: contents.share(seen.is_number) < MANY,
    "name": lambda contents: contents.share(seen.is_number) + contents.share(seen.is_email) < MANY,
    "came": _some(seen.is_sign),
    "wants_help": lambda contents: contents.share(seen.is_amount) < MOST or contents.mostly(seen.is_sign),
}
_SHELF = {"count_in", "count_out", "count_left"}
FEW = 3  # so many different cells can be a list of cities, however short the sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column as understood; `because` is 'heading', 'contents', 'person' or ''."""

    index: int
    heading: str
    says: str
    because: str

    def as_json(self) -> dict[str, Any]:
        return asdict(self)

    @classmethod
    def from_json(cls, stored: dict[str, Any]) -> Self:
        return cls(**stored)


def understand_columns(
    headings: Sequence[str], rows: Sequence[SheetRow], places: PlacesList
) -> tuple[Column, ...]:
    """One Column for each column of the sheet, in order."""
    width = max([len(headings), *(len(row.cells) for row in rows)], default=0)
    columns: list[Column] = []
    for index in range(width):
        contents = Contents(row.at(index) for row in rows)
        heading = headings[index] if index < len(headings) else ""
        said, because = _by_heading(heading, contents)
        if not said and contents.filled:
            said, because = _by_contents(contents, {column.says for column in columns}, places), "contents"
        columns.append(Column(index=index, heading=heading, says=said, because=because if said else ""))
    return tuple(_each_once(_corrected(columns, rows)))


def says_of_heading(heading: str) -> str:
    """What a heading alone promises; '' where it is no heading we know."""
    found = entries_in("columns", heading)
    return found[0][0] if found else ""


def _by_heading(heading: str, contents: Contents) -> tuple[str, str]:
    """What the heading promises and the contents do not contradict, and why it is believed."""
    candidates = [says for says, _length in entries_in("columns", heading)]
    for says in candidates:
        must = _MUST_LOOK_LIKE.get(says)
        if must is None or not contents.filled or must(contents):
            return says, "heading"
    for says, test in _UNMISTAKABLE:
        if candidates and test(contents):
            return says, "contents"
    return (candidates[0], "heading") if candidates else ("", "")


def _by_contents(contents: Contents, taken: set[str], places: PlacesList) -> str:
    for says, test in _LOOKS_LIKE:
        if (says not in taken or says in MAY_REPEAT) and test(contents):
            return says
    if "city" not in taken and contents.share_of_cities(places) >= MOST:
        return "city"
    few_values = contents.distinct <= max(FEW, contents.filled // 3)
    if contents.mostly(seen.is_one_word) and not few_values and "name" not in taken:
        return "given_name" if "given_name" not in taken else "family_name"
    if contents.mostly(seen.is_one_word) and few_values and "city" not in taken and "address" in taken:
        return "city"
    return ""


# What contents say so clearly that a heading which promises something else is wrong.
_UNMISTAKABLE: tuple[tuple[str, Test], ...] = (
    ("contact", lambda c: c.mostly(seen.is_contact)),
    ("address", lambda c: c.mostly(seen.is_address) and not c.mostly(seen.is_amount)),
    ("date", lambda c: c.mostly(seen.is_date) and not c.counts_up()),
)
_LOOKS_LIKE: tuple[tuple[str, Test], ...] = (
    ("email", lambda c: c.share(seen.is_email) >= MOST and not c.share(seen.is_phone)),
    ("contact", lambda c: c.mostly(seen.is_contact) and bool(c.share(seen.is_email))),
    ("phone", lambda c: c.mostly(seen.is_phone)),
    ("date", lambda c: c.mostly(seen.is_date) and not c.counts_up()),
    ("number", Contents.counts_up),
    ("address", lambda c: c.mostly(seen.is_address) and not c.mostly(seen.is_amount)),
    ("bin_taken", lambda c: c.mostly(seen.is_sign) and not c.mostly(seen.is_initials)),
    ("bin_model", lambda c: c.mostly(seen.is_bin)),
    ("zip", lambda c: c.mostly(seen.is_zip)),
    ("waiver", lambda c: c.mostly(seen.is_initials)),
    ("name", lambda c: c.mostly(seen.is_full_name) and c.distinct > c.filled // 2),
)


def _corrected(columns: list[Column], rows: Sequence[SheetRow]) -> list[Column]:
    """What only shows when columns are seen together: a lone bin column names kinds, not signs."""
    said = {column.says for column in columns}
    corrected = []
    for column in columns:
        says = column.says
        if says == "given_name" and "family_name" not in said:
            says = "name"
        if says == "family_name" and "given_name" not in said and "name" in said:
            says = "family_name"
        if says in {"bin_taken", "bin_count"} and said & _SHELF and "address" not in said:
            says = "bin_model" if "bin_model" not in said else says
        if says == "bin_model" and "bin_taken" not in said and _holds_signs(column, rows):
            says = "bin_taken"
        corrected.append(_saying(column, says))
    return corrected


def _holds_signs(column: Column, rows: Sequence[SheetRow]) -> bool:
    contents = Contents(row.at(column.index) for row in rows)
    return contents.share(seen.is_sign) > 0 and contents.share(seen.is_bin) > 0


def _each_once(columns: list[Column]) -> list[Column]:
    taken: set[str] = set()
    kept = []
    for column in columns:
        says = column.says if column.says not in taken or column.says in MAY_REPEAT else "note"
        taken.add(says)
        kept.append(_saying(column, says))
    return kept


def _saying(column: Column, says: str) -> Column:
    if says == column.says:
        return column
    return Column(index=column.index, heading=column.heading, says=says, because=column.because)


def heading_texts(row: SheetRow) -> tuple[str, ...]:
    return tuple(as_text(cell) for cell in row.cells)
