"""From a record back to the paper: which file, sheet and row made it."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Model
from django.urls import reverse
from django.utils.translation import gettext as _

from outreach.households.dossier import Entry
from outreach.households.models import Household
from outreach.intake.models import IntakeMade


@dataclass(frozen=True, slots=True)
class Provenance:
    """Where on paper a record comes from."""

    file: str
    sheet: str
    row_number: int
    row_id: int

    @property
    def url(self) -> str:
        return reverse("intake_row", args=[self.row_id])


def provenance_of(record: Model) -> list[Provenance]:
    """The rows a record came from; none where it was entered by hand."""
    kind = record._meta.model_name
    column = {"stockmovement": "movement", "binmodel": "bin_model", "servedplace": "served_place"}
    made = IntakeMade.objects.that_made(column.get(str(kind), str(kind)), record)
    return [Provenance(one.row.file.name, one.row.sheet, one.row.row_number, one.row_id) for one in made]


def household_entries(household: Household) -> Iterable[Entry]:
    """The line of a household's timeline that says from which paper it is known."""
    for one in IntakeMade.objects.that_made("household", household):
        words = _("First named in paperwork, row %(row)d") % {"row": one.row.row_number}
        url = reverse("intake_row", args=[one.row_id])
        yield Entry(on=household.began_on, words=words, url=url)


class KeepsItsPaper:
    """Merging leaves what a row made as it was: the paper named that household."""

    def merge(self, kept: Household, absorbed: Household) -> list[int]:
        return []

    def undo(self, what_was_set: object) -> None:
        """Nothing was set."""
