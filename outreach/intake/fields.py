"""One row by what its columns say: the form that both a sheet's row and a person's correction have."""

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Self

from diversion.decimal_signs import NUMBER, DecimalSign, is_ambiguous, written_plainly
from outreach.households.emails import read_email
from outreach.households.names import PersonName, read_name
from outreach.households.phones import ReadPhone, read_phone
from outreach.intake.columns import Column
from outreach.intake.dates import read_date
from outreach.intake.sheets import SheetRow, Value, as_text
from outreach.intake.vocabulary import fold, words_of
from outreach.places.addresses import ReadAddress, read_address

_CONTACT = ("email", "phone", "contact")
# Where 'none' or 'N/A' says no more than an empty cell does; a unit called NONE would be another dwelling.
_MAY_BE_NONE = frozenset({*_CONTACT, "unit"})
_DITTO = re.compile(r"""["'’”“〃]+|do\.?|ditto""", re.I)


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """How a sheet writes its dates, and which columns it has at all."""

    day_first: bool = False
    since_1904: bool = False
    decimal_sign: DecimalSign = DecimalSign.NOT_SAID
    columns: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fields:
    """The values of one row under what their columns say."""

    values: Mapping[str, tuple[Value, ...]]
    habits: Habits = field(default_factory=Habits)

    @classmethod
    def of_row(cls, row: SheetRow, columns: Iterable[Column], habits: Habits) -> Self:
        values: dict[str, list[Value]] = defaultdict(list)
        for column in columns:
            cell = row.at(column.index)
            if column.says and as_text(cell) and not _says_none(column.says, cell):
                values[column.says].append(cell)
        return cls(values={says: tuple(cells) for says, cells in values.items()}, habits=habits)

    def with_texts(self, texts: Mapping[str, str]) -> "Fields":
        """The same row with what a person wrote in place of some of it; an empty text takes it out."""
        changed = {says: (text,) if text else () for says, text in texts.items()}
        habits = Habits(
            since_1904=self.habits.since_1904,
            decimal_sign=self.habits.decimal_sign,
            columns=self.habits.columns | set(texts),
        )
        return Fields(values={**self.values, **changed}, habits=habits)

    def value(self, says: str) -> Value:
        return next(iter(self.values.get(says, ())), None)

    def text(self, says: str, *, joined_by: str = " ") -> str:
        return joined_by.join(as_text(value) for value in self.values.get(says, ()))

    def amount(self, says: str) -> str:
        """An amount in the words of the sheet, its number written in the one way that the sheet means."""
        value = self.value(says)
        if isinstance(value, float):
            return as_kept(value)
        return written_plainly(self.text(says), self.habits.decimal_sign)

    def one_or_a_thousand(self, says: str) -> bool:
        """Whether a number of the cell can be read in both ways, as the sheet writes both."""
        if self.habits.decimal_sign is not DecimalSign.BOTH or isinstance(self.value(says), float):
            return False
        return any(is_ambiguous(piece, DecimalSign.BOTH) for piece in NUMBER.findall(self.text(says)))

    def has_column(self, says: str) -> bool:
        return says in self.habits.columns or says in self.values

    def day(self, says: str) -> date | None:
        return read_date(self.value(says), day_first=self.habits.day_first, since_1904=self.habits.since_1904)

    def person(self) -> PersonName:
        """From one name column, or from two."""
        if self.value("family_name") and (self.value("given_name") or not self.value("name")):
            return read_name(first=self.text("given_name"), last=self.text("family_name"))
        return read_name(self.text("name") or self.text("given_name"))

    def name_as_written(self) -> str:
        return " ".join(self.text(says) for says in ("name", "given_name", "family_name")).strip()

    def address(self) -> ReadAddress:
        """From however many cells it is spread over."""
        return read_address(
            self.text("address", joined_by=", "),
            unit=self.text("unit"),
            city=self.text("city"),
            zip_code=self.value("zip"),
        )

    def email(self) -> str:
        """The first e-mail in any cell of contact data; the same cell may hold the phone as well."""
        for cell in self._contact_words():
            if found := read_email(cell):
                return found
        return ""

    def phone(self) -> ReadPhone:
        whole = [as_text(value) for says in _CONTACT for value in self.values.get(says, ())]
        for text in whole:
            without_email = " ".join(word for word in text.split() if "@" not in word).strip(" ,;/|")
            if (found := read_phone(without_email)).phone_key:
                return found
        return ReadPhone("", "")

    def wrong_contact(self) -> bool:
        """Something stands in the contact columns of which neither e-mail nor phone could be made."""
        given = any(self.values.get(says) for says in _CONTACT)
        return given and not self.email() and not self.phone().phone_key

    def _contact_words(self) -> list[str]:
        cells = [as_text(value) for says in _CONTACT for value in self.values.get(says, ())]
        return [word for cell in cells for word in cell.replace(";", " ").replace("/", " ").split()]


def as_kept(value: Value) -> str:
    """A cell in words; a number with three decimals gets a zero, so that nobody takes it for thousands."""
    text = as_text(value)
    return f"{text}0" if isinstance(value, float) and is_ambiguous(text) else text


def _says_none(says: str, cell: Value) -> bool:
    """'N/A', 'none' or a dash under e-mail, phone or unit; ditto marks are no such dash."""
    text = as_text(cell).strip()
    return says in _MAY_BE_NONE and fold(text) in words_of("blanks", "words") and not _DITTO.fullmatch(text)


@dataclass(frozen=True, slots=True, kw_only=True)
class NotRead:
    """A row of which no record can be made yet; says which columns are wrong and what to do."""

    problem: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PassedOver:
    """A blank or total row, the headings again, a note across the page."""
