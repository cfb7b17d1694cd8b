"""A row of a sign-in sheet → who came where and when, and which bins went home with them."""

import re
from dataclasses import dataclass, field
from datetime import date

from django.utils.translation import gettext as _

from outreach.households.models import Household
from outreach.households.names import PersonName
from outreach.households.phones import ReadPhone
from outreach.intake.bin_names import BinNames, is_no, is_yes
from outreach.intake.fields import Fields, NotRead, PassedOver
from outreach.intake.hours import NOT_SAID, Start, read_start
from outreach.intake.titles import Occasion, split_city
from outreach.places.addresses import ReadAddress
from outreach.places.serving import PlacesList, ResolvedPlace
from outreach.workshops import row_codes
from outreach.workshops.models.registrations import MOST_ALONG

MOST_BINS = 5
_SEVERAL = re.compile(r"\w\s*[&+/]\s*\w|\w\s+(?:and|und|plus|y)\s+\w", re.I)


@dataclass(frozen=True, slots=True, kw_only=True)
class SignIn:
    """One person at one workshop; `bins` holds the kind of each bin that went home, as written."""

    # Missing only where a code tells it.
    held_on: date | None
    venue: str
    city: str
    person: PersonName
    address: ReadAddress
    place: ResolvedPlace
    email: str = ""
    phone: ReadPhone = field(default_factory=lambda: ReadPhone("", ""))
    bins: tuple[str, ...] = ()
    # How many came, this person included; None where the sheet does not say.
    people: int | None = None
    initials: str = ""
    note: str = ""
    # Whether they composted before the bin, where the sheet asks; '' where it does not say.
    composting_before: str = ""
    doubts: tuple[str, ...] = ()
    start: Start = NOT_SAID
    is_venue_guessed: bool = False
    # The workshop on record that a person named, or the code of the row.
    workshop_id: int | None = None
    # The place on a list that the code of the row names, or the blank line of a printed sheet.
    code: int | None = None
    line: row_codes.Line | None = None

    @property
    def day(self) -> date:
        """The day of the workshop, once its code, where it has one, has told it."""
        if self.held_on is None:
            raise ValueError("The row has a code that nobody has looked up.")
        return self.held_on


def read_sign_in(
    fields: Fields, occasion: Occasion, places: PlacesList, bins: BinNames
) -> SignIn | NotRead | PassedOver:
    """Understand one row; what is doubtful but can be recorded stands in `doubts`."""
    here, person, address = _occasion_of(fields, occasion, places), fields.person(), fields.address()
    named, misread = _code(fields)
    code, line = (None, named) if isinstance(named, row_codes.Line) else (named, None)
    if (left_out := _left_out(fields, here, named, misread)) is not None:
        return left_out
    place = places.resolve(address.city_name, address.zip_code)
    gone_home, doubt = bins_gone_home(fields, bins)
    people, unread = _people(fields)
    return SignIn(
        held_on=here.held_on,
        venue=here.venue,
        city=here.city,
        person=person,
        address=address.at(place) if place.understood else address,
        place=place,
        email=fields.email(),
        phone=fields.phone(),
        bins=gone_home,
        people=people,
        initials=fields.text("waiver")[:20],
        note=fields.text("note", joined_by="; ")[:300],
        composting_before=composting_before(fields),
        doubts=_doubts(fields, place, address, (misread, doubt, unread)),
        start=here.start,
        is_venue_guessed=here.is_venue_guessed,
        workshop_id=here.workshop_id,
        code=code,
        line=line,
    )


def _did_not_come(fields: Fields) -> NotRead | PassedOver | None:
    """Where a column says who came: what becomes of a row that does not say yes."""
    if not fields.has_column("came") or is_yes(fields.text("came")):
        return None
    return PassedOver() if is_no(fields.text("came")) else NotRead(problem=_("Say whether they came."))


def _code(fields: Fields) -> tuple[int | row_codes.Line | None, str]:
    """The place on a list, or the blank line, that the code of the row names, or what is wrong with the code."""
    text = fields.text("row_code")
    if not text:
        return None, ""
    try:
        return row_codes.read(text), ""
    except row_codes.Misread as misread:
        return None, _("Code: %(problem)s Correct it, or leave it out.") % {"problem": misread}


def _people(fields: Fields) -> tuple[int | None, str]:
    """How many came with this person included, or what is wrong with the number."""
    text = fields.text("party").removesuffix(".0")
    if not text:
        return None, ""
    if text.isascii() and text.isdigit() and 1 <= int(text) <= 1 + MOST_ALONG:
        return int(text), ""
    return None, _("People: the number cannot be read. Say how many came, this person included.")


def composting_before(fields: Fields) -> str:
    """What a yes or no under 'Composted before?' or 'New to composting?' says of the household; '' if nothing."""
    before, new = fields.text("composted_before"), fields.text("new_to_composting")
    if is_yes(before) or is_no(new):
        return Household.Composting.PRIOR
    return Household.Composting.NEW if is_no(before) or is_yes(new) else ""


def _left_out(
    fields: Fields, here: Occasion, named: row_codes.Line | int | None, misread: str
) -> NotRead | PassedOver | None:
    """A row that names nobody, says that they did not come, or lacks what no code tells in its place."""
    person = fields.person()
    if not (person.full_name or fields.address().street or fields.email() or named is not None):
        return NotRead(problem=misread) if misread else PassedOver()
    if unsaid := _did_not_come(fields):
        return unsaid
    if named is None and (problem := missing(here.held_on, here.venue, person)):
        return NotRead(problem=problem)
    return None


def _occasion_of(fields: Fields, occasion: Occasion, places: PlacesList) -> Occasion:
    """A row may say its own day and venue, as lists of a whole season do."""
    venue, city = split_city(fields.text("venue"), places) if fields.value("venue") else ("", "")
    start = read_start(fields.value("starts"))
    return Occasion(held_on=fields.day("date"), start=start, venue=venue, city=city).or_else(occasion)


def missing(held_on: date | None, venue: str, person: PersonName) -> str:
    """What a row without a code has to say and does not; '' where it says it all."""
    if held_on is None:
        return _("Date: no day could be read. Give the day of the workshop.")
    if not venue:
        return _("Venue: none could be read. Give the venue of the workshop.")
    if not person.full_name:
        return _("Name: none could be read. Give the name of the person who came.")
    return ""


def _doubts(
    fields: Fields, place: ResolvedPlace, address: ReadAddress, further: tuple[str, ...]
) -> tuple[str, ...]:
    doubts = (*_doubts_about_place(place, address), *_doubts_about_person(fields), *further)
    return tuple(filter(None, doubts))


def _doubts_about_place(place: ResolvedPlace, address: ReadAddress) -> list[str]:
    if place.disagree:
        return [_("City and ZIP do not belong together; the ZIP was believed. Correct one of them.")]
    if address.street and not place.understood:
        return [_("City and ZIP: neither could be read. Say where the household lives.")]
    return []


def _doubts_about_person(fields: Fields) -> list[str]:
    doubts = []
    if fields.wrong_contact():
        doubts.append(_("E-mail or phone: neither can be read; they were left out. Complete them."))
    if _SEVERAL.search(fields.name_as_written()):
        doubts.append(_("Name: it may name two people; they were recorded as one. Add the other if so."))
    return doubts


def bins_gone_home(fields: Fields, bins: BinNames) -> tuple[tuple[str, ...], str]:
    """The kinds of the bins that went home, one entry a bin, and what is doubtful about them."""
    sign, kind = fields.text("bin_taken"), fields.text("bin_model")
    kind = "" if is_no(kind) or is_yes(kind) else kind
    many = _count(fields)
    if not sign:
        return _without_a_sign(fields, kind, many)
    if is_no(sign):
        return (), ""
    if is_yes(sign) or (sign.isdigit() and 1 < int(sign) <= MOST_BINS):
        return (kind,) * (many or (int(sign) if sign.isdigit() else 1)), ""
    if named := _named_by_sign(sign, bins):
        return (kind or named,) * (many or 1), ""
    return (), _("Bin: the sign cannot be read. Say whether a bin went home, and which.")


def _named_by_sign(sign: str, bins: BinNames) -> str:
    """The kind of bin that stands where others write 'yes', also after a 'yes'."""
    first, _space, rest = sign.partition(" ")
    if is_yes(first.strip("-:,")) and bins.names_a_bin(rest):
        return rest.strip(" -:,")
    return sign if bins.names_a_bin(sign) else ""


def _without_a_sign(fields: Fields, kind: str, many: int) -> tuple[tuple[str, ...], str]:
    if fields.has_column("bin_taken") and not many:
        doubt = _("Bin: a kind is named, but nothing says that it went home. Say whether it did.")
        return (), doubt if kind else ""
    if fields.has_column("bin_count"):
        return (kind,) * many, ""
    return ((kind,), "") if kind else ((), "")


def _count(fields: Fields) -> int:
    text = fields.text("bin_count").removesuffix(".0")
    if is_yes(text):
        return 1
    return int(text) if text.isdigit() and int(text) <= MOST_BINS else 0
