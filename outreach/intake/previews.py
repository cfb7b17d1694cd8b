"""The first rows of a sheet as they are understood, in words, before anything is written."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice

from django.utils.functional import Promise
from django.utils.translation import gettext as _

from outreach.intake.answer_exports import AnswerGiven
from outreach.intake.fields import NotRead, PassedOver
from outreach.intake.places_lists import PlaceServed
from outreach.intake.preparing import Fact, Lists, PreparedRow, prepare_sheet
from outreach.intake.sheets import Sheet
from outreach.intake.sign_in_sheets import SignIn
from outreach.intake.stock_lists import StockLine
from outreach.intake.understanding import Reading
from outreach.workshops import row_codes

SHOWN = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class PreviewRow:
    """One row: its number, what it says, and what is doubtful or missing."""

    number: int
    words: list[str] = field(default_factory=list)
    doubts: list[str | Promise] = field(default_factory=list)
    is_read: bool = True


def preview_of(sheet: Sheet, reading: Reading, lists: Lists) -> list[PreviewRow]:
    """The first rows that are rows of the table."""
    if not reading.kind:
        return []
    rows = (row for row in prepare_sheet(sheet, reading, lists) if not isinstance(row.states, PassedOver))
    return [_in_words(row, knows_places=bool(lists.places.places)) for row in islice(rows, SHOWN)]


def _in_words(row: PreparedRow, *, knows_places: bool) -> PreviewRow:
    states = row.states
    if isinstance(states, NotRead):
        return PreviewRow(number=row.number, doubts=[states.problem], is_read=False)
    if isinstance(states, PassedOver):
        return PreviewRow(number=row.number)
    words = list(filter(None, _said(states)))
    if knows_places and isinstance(states, SignIn) and states.place.understood and not states.place.is_served:
        words.append(_("lives outside the places served"))
    return PreviewRow(number=row.number, words=words, doubts=list(states.doubts))


def _said(states: Fact) -> Iterator[str]:
    if isinstance(states, SignIn):
        yield from _said_of_sign_in(states)
    elif isinstance(states, AnswerGiven):
        yield from _said_of_answer(states)
    elif isinstance(states, StockLine):
        yield f"{states.on}: {states.bin_model.name}"
        yield _("%(count)d came") % {"count": states.received} if states.received else ""
        yield _("%(count)d on the shelf") % {"count": states.counted} if states.counted is not None else ""
    elif isinstance(states, PlaceServed):
        yield f"{states.jurisdiction}: {states.city_name} {', '.join(states.zip_codes)}"


def _said_of_sign_in(fact: SignIn) -> Iterator[str]:
    where = f"{fact.address.street} {fact.address.unit}".strip()
    yield _("code %(code)s") % {"code": row_codes.code_of(fact.code)} if fact.code else ""
    yield _("code %(code)s") % {"code": row_codes.line_code(fact.line)} if fact.line else ""
    yield ", ".join(str(one) for one in (fact.held_on, fact.venue) if one)
    yield fact.person.full_name
    yield f"{where}, {fact.address.city_name} {fact.address.zip_code}".strip(" ,")
    yield " ".join(filter(None, (fact.email, fact.phone.shown)))
    for kind in fact.bins:
        yield _("took home: %(kind)s") % {"kind": kind or _("a bin, kind not said")}
    if not fact.bins:
        yield _("no bin")


def _said_of_answer(fact: AnswerGiven) -> Iterator[str]:
    yield f"{fact.answered_on}: {fact.person.full_name}"
    yield f"{fact.address.street} {fact.address.unit}".strip()
    yield _("still composting: %(state)s") % {"state": fact.composting}
    yield from (fact.food, fact.yard, fact.before, fact.problems)
