"""Which kind of paperwork a sheet is, from what its columns say."""

from collections.abc import Iterable

from outreach.intake.columns import Column
from outreach.intake.models import PaperworkFile

Kind = PaperworkFile.Kind

# What a person's row has, and what only answers or only stock lists have.
_PERSON = {"name", "given_name", "family_name", "address", "email", "phone", "contact"}
_AMOUNTS = {"composting", "food", "yard"}
_SHELF = {"count_in", "count_out", "count_left"}
# In the order in which files given together are taken in.
ORDER = (Kind.PLACES, Kind.STOCK, Kind.SIGN_IN, Kind.ANSWERS)


def kind_of(columns: Iterable[Column]) -> Kind | None:
    """The kind, or none where the columns fit none of the four."""
    says = {column.says for column in columns}
    if says & _AMOUNTS:
        return Kind.ANSWERS
    if says & _SHELF and "address" not in says:
        return Kind.STOCK
    if "address" in says or len(says & _PERSON) > 1:
        return Kind.SIGN_IN
    names_people = says & _PERSON and "jurisdiction" not in says
    if says & {"zip"} and says & {"city", "jurisdiction"} and not names_people:
        return Kind.PLACES
    return None
