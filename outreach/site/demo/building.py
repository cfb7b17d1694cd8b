"""Building the demo's records: people who sign in, places, paperwork, and what is planned."""

from collections.abc import Callable
from datetime import date, datetime, timedelta
from typing import Any

from django.db import transaction

from outreach.bins.models import BinModel, BinOrder
from outreach.funding.models import FundingSource
from outreach.households.models import Household, Participant
from outreach.intake import taking_in
from outreach.places.models import District, Jurisdiction, LandfillProfile
from outreach.places.venues import record_venue
from outreach.site.demo import scenario
from outreach.staff import people
from outreach.staff.models import StaffMember
from outreach.workshops import planning, registering
from outreach.workshops.models import Workshop

# The paperwork's first year; districts have been as they are since before it.
DISTRICTS_SINCE = date(2020, 1, 1)


def admit_staff(*, on: date) -> dict[str, tuple[StaffMember, str]]:
    """One person of each role; the passwords are theirs to keep, so none has to be changed at first."""
    admitted = {}
    for one in scenario.set_up()["staff"]:
        ends_on = on + timedelta(days=one["access_days"]) if "access_days" in one else None
        member, password = people.admit(
            username=one["username"], full_name=one["full_name"], role=one["role"], ends_on=ends_on, by=None
        )
        people.choose_password(member=member, password=password)
        admitted[one["username"]] = (member, password)
    return admitted


@transaction.atomic
def set_up_places() -> None:
    """Landfills, jurisdictions and their districts."""
    plan = scenario.set_up()
    landfills = {}
    for one in plan["landfill"]:
        landfills[one["name"]] = _saved(LandfillProfile(**one))
    places = {}
    for one in plan["jurisdiction"]:
        facts = {name: value for name, value in one.items() if name != "landfill"}
        places[one["name"]] = _saved(Jurisdiction(**facts, landfill_profile=landfills[one["landfill"]]))
    for one in plan["district"]:
        _saved(District(jurisdiction=places[one["jurisdiction"]], name=one["name"], from_on=DISTRICTS_SINCE))


def take_paperwork_in(
    *, by: StaffMember, at: datetime, watch: Callable[[str, int, int], None]
) -> dict[str, int]:
    """All of the paperwork through the same code as `take_in` and the upload page; returns the counts."""
    return taking_in.take_in(scenario.paperwork(), by=by, at=at, watch=watch).counts


@transaction.atomic
def put_households_in_districts() -> None:
    """By the street they live in."""
    for one in scenario.set_up()["district"]:
        district = District.objects.get(name=one["name"], jurisdiction__name=one["jurisdiction"])
        for street in one["streets"]:
            Household.objects.in_jurisdiction(district.jurisdiction).on_street(street).update(
                district=district
            )


def plan_what_comes(*, on: date, by: StaffMember, at: datetime) -> None:
    """Coming workshops with people booked, and bins on order."""
    plan = scenario.set_up()
    people_known = iter(Participant.objects.order_by("pk"))
    for one in plan["coming"]:
        workshop = _coming(one, on=on, by=by, at=at)
        for _ in range(one["booked"]):
            registering.register(workshop=workshop, participant=next(people_known), at=at, by=by)
    for one in plan["order"]:
        _saved(
            BinOrder(
                bin_model=BinModel.objects.get(name=one["bin_model"]),
                supplier=one["supplier"],
                reference=one["reference"],
                quantity=one["quantity"],
                unit_price_cents=one["unit_price_cents"],
                funding_source=FundingSource.objects.get(name=one["paid_by"]),
                ordered_on=on - timedelta(days=one["ordered_days_ago"]),
                due_on=on + timedelta(days=one["due_in_days"]),
            )
        )


def _coming(one: dict[str, Any], *, on: date, by: StaffMember, at: datetime) -> Workshop:
    jurisdiction = Jurisdiction.objects.get(name=one["jurisdiction"])
    return planning.add(
        workshop=Workshop(
            held_on=on + timedelta(days=one["in_days"]),
            venue=record_venue(name=one["venue"], jurisdiction=jurisdiction).venue,
            jurisdiction=jurisdiction,
            seats=one["seats"],
            bins_planned=one["bins_planned"],
        ),
        by=by,
        at=at,
    )


def _saved(record: Any) -> Any:
    record.full_clean()
    record.save()
    return record
