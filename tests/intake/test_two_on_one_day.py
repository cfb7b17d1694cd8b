"""Two workshops on one day at one venue stay two: by their hour, by the part of the day, or by a person."""

from datetime import UTC, date, datetime, time

import pytest

from outreach.intake import settling
from outreach.intake.models import PaperworkRow
from outreach.intake.taking_in import take_in
from outreach.intake.workshops_meant import which_workshop
from outreach.places.models import Jurisdiction
from outreach.places.venues import record_venue
from outreach.workshops.models import Registration, Workshop
from tests.factories.paperwork import PLACES, make_csv
from tests.factories.workshops import make_workshop

AT = datetime(2026, 9, 1, 18, tzinfo=UTC)
HEADINGS = ["Name", "Address", "City", "ZIP"]
ADA = ["Ada Holm", "5 Reed St", "Tidewell", "00431"]
BEN = ["Ben Ito", "7 Reed St", "Tidewell", "00431"]
CY = ["Cy Lund", "9 Reed St", "Tidewell", "00431"]
pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


@pytest.fixture(autouse=True)
def uploads(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


def sheet(title, *people, name):
    return name, make_csv([[title], HEADINGS, *people])


def taken_in(*files):
    return take_in([("places.csv", PLACES), *files], by=None, at=AT).counts


def starts():
    return [one.starts_at_time for one in Workshop.objects.order_by("starts_at_time")]


@pytest.mark.parametrize(
    ("first", "second", "hours"),
    [
        ("March 8, 2025 10:00", "March 8, 2025 14:00", [time(10), time(14)]),
        ("March 8, 2025, 9-11:30 am", "March 8, 2025, 2 pm", [time(9), time(14)]),
        ("Saturday March 8, 2025 | 10 a.m.", "Saturday March 8, 2025 | 1:30–3", [time(10), time(13, 30)]),
        ("8 de marzo de 2025, 10:00 h", "8 de marzo de 2025, 16:30 h", [time(10), time(16, 30)]),
    ],
)
def test_two_hours_are_two_workshops(first, second, hours):
    counts = taken_in(
        sheet(f"Old Mill Grange, Tidewell - {first}", ADA, name="one.csv"),
        sheet(f"Old Mill Grange, Tidewell - {second}", BEN, name="two.csv"),
    )

    assert (counts["workshops"], counts["attendances"], counts["for_review"]) == (2, 2, 0 + jurisdictions())
    assert starts() == hours
    assert {one.venue.name for one in Workshop.objects.all()} == {"Old Mill Grange"}


def jurisdictions():
    """Each new jurisdiction of the places list is looked at."""
    return PaperworkRow.objects.for_review().filter(file__kind="places").count()


def test_the_hour_may_stand_in_the_name_of_the_file_or_beside_a_label():
    title = "Old Mill Grange, Tidewell - March 8, 2025"
    counts = taken_in(
        sheet(title, ADA, name="2025-03-08_10am.csv"),
        ("two.csv", make_csv([[title], ["Time:", "2:00 pm"], HEADINGS, BEN])),
    )

    assert counts["workshops"] == 2
    assert starts() == [time(10), time(14)]


def test_the_same_sheet_twice_is_still_one_workshop():
    title = "Old Mill Grange, Tidewell - March 8, 2025 10:00"
    taken_in(sheet(title, ADA, name="one.csv"))
    again = taken_in(sheet(title, ADA, BEN, name="one, corrected.csv"))

    assert (again["workshops"], again["attendances"], again["already_known"]) == (0, 1, 4)
    assert Workshop.objects.count() == 1


def test_morning_and_afternoon_are_two_and_each_is_found_again():
    grange = "Old Mill Grange, Tidewell - March 8, 2025"
    taken_in(
        sheet(f"{grange} - morning", ADA, name="one.csv"),
        sheet(f"{grange} - Afternoon session", BEN, name="two.csv"),
    )
    taken_in(sheet(f"{grange} (afternoon)", BEN, CY, name="two again.csv"))

    assert Workshop.objects.count() == 2
    afternoon = Workshop.objects.get(note__startswith="In the afternoon")
    people = Registration.objects.filter(workshop=afternoon)
    assert {one.participant.full_name for one in people} == {"Ben Ito", "Cy Lund"}


def test_a_venue_named_after_the_morning_keeps_its_name():
    taken_in(sheet("Morning Glory Hall, Tidewell - March 8, 2025", ADA, name="one.csv"))

    workshop = Workshop.objects.get()
    assert (workshop.venue.name, workshop.starts_at_time, workshop.note) == ("Morning Glory Hall", None, "")


def test_a_sheet_without_an_hour_is_asked_about_where_two_are_known_and_one_answer_serves_all(coordinator):
    grange = "Old Mill Grange, Tidewell - March 8, 2025"
    taken_in(sheet(f"{grange} 10:00", ADA, name="one.csv"), sheet(f"{grange} 14:00", BEN, name="two.csv"))
    dora = ["Dora Penn", "11 Reed St", "Tidewell", "00431"]
    counts = taken_in(sheet(grange, CY, dora, name="three.csv"))

    assert (counts["workshops"], counts["attendances"], counts["for_review"]) == (0, 0, 2)
    rows = PaperworkRow.objects.not_read().filter(file__name="three.csv")
    assert {row.review_reason for row in rows} == {which_workshop()}
    afternoon = Workshop.objects.get(starts_at_time=time(14))
    settling.complete_row(
        row=rows.first(), texts={"workshop_number": str(afternoon.pk)}, by=coordinator, at=AT
    )

    people = Registration.objects.filter(workshop=afternoon)
    assert {one.participant.full_name for one in people} == {"Ben Ito", "Cy Lund", "Dora Penn"}
    assert not rows.all().exists()


def test_the_start_written_into_the_form_of_a_row_says_which_one(coordinator):
    grange = "Old Mill Grange, Tidewell - March 8, 2025"
    taken_in(sheet(f"{grange} 10:00", ADA, name="one.csv"), sheet(f"{grange} 14:00", BEN, name="two.csv"))
    taken_in(sheet(grange, CY, name="three.csv"))

    settling.complete_row(
        row=PaperworkRow.objects.not_read().get(), texts={"starts": "10 am"}, by=coordinator, at=AT
    )

    assert Registration.objects.get(participant__full_name="Cy Lund").workshop.starts_at_time == time(10)


def test_a_planned_workshop_without_an_hour_gets_that_of_its_sheet():
    taken_in()
    tidewell = Jurisdiction.objects.get(name="Tidewell")
    venue = record_venue(name="Old Mill Grange", jurisdiction=tidewell).venue
    planned = make_workshop(held_on=date(2025, 3, 8), venue=venue)
    title = "Old Mill Grange, Tidewell - March 8, 2025 10:00"
    taken_in(("one.csv", make_csv([[title], HEADINGS, ADA])))

    planned.refresh_from_db()
    assert (Workshop.objects.count(), planned.starts_at_time) == (1, time(10))


def test_doors_that_open_half_an_hour_earlier_make_no_second_workshop():
    grange = "Old Mill Grange, Tidewell - March 8, 2025"
    taken_in(sheet(f"{grange} 10:00", ADA, name="one.csv"), sheet(f"{grange} 9:30", BEN, name="two.csv"))

    assert Workshop.objects.count() == 1


def test_a_list_of_a_season_tells_two_of_a_day_apart_by_its_column():
    rows = [
        ["Date", "Start time", "Venue", *HEADINGS],
        ["3/8/2025", "10:00 am", "Old Mill Grange, Tidewell", *ADA],
        ["3/8/2025", "2:00 pm", "Old Mill Grange, Tidewell", *BEN],
        ["3/8/2025", "2:00 pm", "Old Mill Grange, Tidewell", *CY],
    ]
    counts = taken_in(("season.csv", make_csv(rows)))

    assert (counts["workshops"], counts["attendances"]) == (2, 3)
    assert starts() == [time(10), time(14)]
