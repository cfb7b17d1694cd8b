"""What is known of a row while it is typed: who it is, where they live, whether they had a bin. Writes nothing."""

from collections.abc import Iterator
from datetime import datetime

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from outreach.bins import eligibility
from outreach.households.models import Household
from outreach.intake.attendance_records import Placed
from outreach.intake.models import PaperworkFile
from outreach.intake.preparing import Lists, PreparedRow
from outreach.intake.typed_sheets import SHEET, Typed, understood
from outreach.intake.writing import Plan
from outreach.staff.models import StaffMember
from outreach.workshops.models import Registration


def said_of(*, file: PaperworkFile, typed: Typed, by: StaffMember, at: datetime) -> list[str]:
    """Sentences about the row as far as it is typed; what it still lacks comes first."""
    if typed.is_empty:
        return []
    lists = Lists.load()
    try:
        states = understood(file, typed, lists)
    except ValidationError as problem:
        return list(problem.messages)
    prepared = PreparedRow(sheet=SHEET, number=typed.number, cells=(), states=states)
    plan = Plan.make([prepared], lists, by=by, at=at, source=file.sha256)
    said = list(dict.fromkeys(plan.batch.rows[0].reasons))
    said += [words for one in plan.sign_ins.placed for words in _of_sign_in(one)]
    said += [words for one in plan.answers for words in _of_household(one.household)]
    return said


def _of_sign_in(placed: Placed) -> Iterator[str]:
    yield from _of_household(placed.household)
    if placed.household < 0 and placed.fact.place.understood and not placed.fact.place.is_served:
        yield _("Outside the places served.")
    here = Registration.objects.at_any_of([placed.fact.workshop_id or 0])
    known = here.filter(participant=placed.person).first()
    if known is not None:
        yield _("On the list: %(state)s.") % {"state": known.get_state_display()}
    if placed.household > 0 and placed.fact.bins:
        household = Household.objects.get(pk=placed.household)
        yield eligibility.standing_of(household, placed.fact.day).sentence


def _of_household(number: int) -> Iterator[str]:
    if number < 0:
        yield _("A new household.")
        return
    household = Household.objects.get(pk=number)
    yield f"{household}, {household.city_name} {household.zip_code}".strip(" ,")
