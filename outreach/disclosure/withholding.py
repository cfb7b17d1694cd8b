"""What is withheld, and why: the table of the programme over what to begin with."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from outreach.disclosure.models import Withholding
from outreach.disclosure.row_kinds import KINDS, OPEN, RowKind
from outreach.staff.models import StaffMember

CLASSES: Mapping[str, str | Promise] = {
    Withholding.PERSON: _("Names, addresses, and ways to reach people"),
    Withholding.WORDS: _("Free text, unless released row by row"),
    Withholding.HOUSEHOLD: _("Rows about one household, under a random number"),
}
# To begin with: what the fields are classed as. Counsel of the place puts its law beside.
BEGINS_WITH: Mapping[str, tuple[bool, str | Promise]] = {
    Withholding.PERSON: (True, _("It names a resident, a volunteer or a member of staff, or leads to one.")),
    Withholding.WORDS: (True, _("It is free text, which may name someone; nobody has released it.")),
    Withholding.HOUSEHOLD: (False, ""),
}


@dataclass(frozen=True, slots=True)
class Rule:
    """Whether one class or column is withheld, why, and by which law."""

    key: str
    is_withheld: bool
    reason: str
    citation: str = ""

    @property
    def in_words(self) -> str:
        """The reason that stands beside a field that is blacked out."""
        return f"{self.reason} ({self.citation})" if self.citation else self.reason

    @property
    def title(self) -> str:
        """The class, or the kind of records and the column."""
        if self.key in CLASSES:
            return str(CLASSES[self.key])
        kind, _dot, column = self.key.partition(".")
        titles = {one.key: one.title for one in KINDS}
        return f"{titles.get(kind, kind)}: {heading_of(column)}"


@dataclass(frozen=True, slots=True)
class Rules:
    """All that is withheld, as it stands at one time."""

    by_key: Mapping[str, Rule]

    def on(self, kind: RowKind, column: str) -> Rule | None:
        """The rule that withholds a column, if one does. Free text of a single row may be released all the same."""
        classed = kind.class_of(column)
        own = self.by_key.get(f"{kind.key}.{column}")
        of_class = None if classed == OPEN else self.by_key[classed]
        for rule in (of_class, own):
            if rule is not None and rule.is_withheld:
                return rule
        return None

    def as_data(self) -> list[dict[str, Any]]:
        return [
            {"key": one.key, "is_withheld": one.is_withheld, "reason": one.reason, "citation": one.citation}
            for one in self.by_key.values()
        ]


def in_force() -> Rules:
    """The rules of the programme: those it wrote, and for the other classes what to begin with."""
    rules = {key: Rule(key, held, str(reason)) for key, (held, reason) in BEGINS_WITH.items()}
    for one in Withholding.objects.all():
        rules[one.key] = Rule(one.key, one.is_withheld, one.reason, one.citation)
    return Rules(rules)


@transaction.atomic
def write(*, key: str, says: Mapping[str, Any], by: StaffMember, at: datetime) -> Withholding:
    """Set what is withheld of a class or column: `is_withheld`, `reason`, `citation`.

    Raises
    ------
    ValidationError
        Where it would show people, or gives no reason.
    """
    found = Withholding.objects.select_for_update().filter(key=key).first() or Withholding(key=key)
    for name, value in says.items():
        setattr(found, name, value)
    found.written_at, found.written_by = at, by
    found.full_clean()
    found.save()
    return found


def columns() -> Iterator[tuple[str, str]]:
    """Every column that the law of a place may withhold although its class would show it: key and words."""
    for kind in KINDS:
        for column in kind.columns:
            if kind.class_of(column) in (OPEN, Withholding.HOUSEHOLD):
                yield f"{kind.key}.{column}", f"{kind.title}: {heading_of(column)}"


def heading_of(column: str) -> str:
    """'household number' for 'counted_under'."""
    words = column.replace("counted_under__", "").replace("counted_under", "household number")
    if words == "household":
        return "household number"
    return words.replace("content_type__model", "record").replace("__", " ").replace("_", " ")
