"""Sheets with several heading rows: repeated ones are passed over, others begin a table of their own."""

from datetime import UTC, date, datetime

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from outreach.followup.models import Answer
from outreach.households.models import Participant
from outreach.intake import staging
from outreach.intake.models import LayoutMapping, PaperworkFile, PaperworkRow
from outreach.intake.taking_in import take_in
from outreach.places.models import Jurisdiction
from outreach.workshops.models import Registration, Workshop
from tests.factories.paperwork import PLACES, make_csv, make_workbook

AT = datetime(2026, 9, 1, 18, tzinfo=UTC)
TITLE = ["Old Mill Grange, Tidewell - March 8, 2025"]
pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


@pytest.fixture(autouse=True)
def uploads(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


def taken_in(*files):
    return take_in([("places.csv", PLACES), *files], by=None, at=AT).counts


def people():
    return {
        (one.full_name, one.household.street_key, one.household.zip_code) for one in Participant.objects.all()
    }


def waiting(name):
    return list(
        PaperworkRow.objects.for_review().filter(file__name=name).values_list("review_reason", flat=True)
    )


def test_a_second_table_with_other_columns_is_read_by_its_own_headings():
    rows = [
        TITLE,
        ["Name", "Address", "City", "ZIP"],
        ["Ada Holm", "5 Reed St", "Tidewell", "00431"],
        ["Ben Ito", "7 Reed St", "Tidewell", "00431"],
        [],
        ["Walk-ins"],
        ["ZIP", "Street address", "Full name", "E-mail"],
        ["00432", "9 Quarry Ln", "Cy Lund", "cy@example.org"],
        ["00432", "11 Quarry Ln", "Dora Penn", ""],
    ]
    counts = taken_in(("sheet.csv", make_csv(rows)))

    assert (counts["workshops"], counts["attendances"]) == (1, 4)
    assert ("Cy Lund", "9 QUARRY LN", "00432") in people()
    assert ("Dora Penn", "11 QUARRY LN", "00432") in people()
    assert waiting("sheet.csv") == []


def test_a_second_table_with_a_title_of_its_own_is_another_workshop():
    headings = ["Name", "Address", "City", "ZIP"]
    rows = [
        TITLE,
        headings,
        ["Ada Holm", "5 Reed St", "Tidewell", "00431"],
        ["Total: 1"],
        ["Harbor Annex, Tidewell - March 9, 2025"],
        [*reversed(headings)],
        ["00431", "Tidewell", "7 Reed St", "Ben Ito"],
    ]
    taken_in(("sheet.csv", make_csv(rows)))

    held = {
        (one.workshop.held_on, one.workshop.venue.name, one.participant.full_name) for one in all_who_came()
    }
    assert held == {
        (date(2025, 3, 8), "Old Mill Grange", "Ada Holm"),
        (date(2025, 3, 9), "Harbor Annex", "Ben Ito"),
    }


def all_who_came():
    return Registration.objects.select_related("workshop__venue", "participant")


def test_headings_repeated_in_other_words_after_a_page_break_are_passed_over():
    rows = [
        TITLE,
        ["Name", "Address", "City", "ZIP code"],
        ["Ada Holm", "5 Reed St", "Tidewell", "00431"],
        ["Name", "Street address", "City/Town", "ZIP"],
        ["Ben Ito", "7 Reed St", "Tidewell", "00431"],
    ]
    counts = taken_in(("sheet.csv", make_csv(rows)))

    assert (counts["attendances"], waiting("sheet.csv")) == (2, [])


def test_a_table_with_more_headings_below_does_not_swallow_the_first():
    rows = [
        TITLE,
        ["Name", "Address", "ZIP"],
        ["Ada Holm", "5 Reed St", "00431"],
        [],
        ["Name", "Address", "City", "ZIP", "E-mail", "Phone"],
        ["Ben Ito", "7 Reed St", "Tidewell", "00431", "ben@example.org", "555-0134"],
    ]
    counts = taken_in(("sheet.csv", make_csv(rows)))

    assert counts["attendances"] == 2
    assert {one.full_name for one in Participant.objects.all()} == {"Ada Holm", "Ben Ito"}


@pytest.mark.parametrize(
    "row",
    [
        ["15 people, 12 bins"],
        ["15 people", "12 bins given out"],
        ["People: 15", None, "Bins: 12"],
        ["15 personas y 12 composteras"],
    ],
)
def test_a_row_that_counts_people_and_bins_is_a_total(row):
    rows = [TITLE, ["Name", "Address", "City", "ZIP"], ["Ada Holm", "5 Reed St", "Tidewell", "00431"], row]
    counts = taken_in(("sheet.csv", make_csv(rows)))

    assert (counts["attendances"], waiting("sheet.csv")) == (1, [])


@pytest.mark.parametrize("order", [["Places", "Sign-in"], ["Sign-in", "Places"]])
def test_places_and_a_sign_in_sheet_in_one_workbook_know_each_other(order):
    sheets = {
        "Places": [["Jurisdiction", "City", "ZIP"], ["Tidewell", "Tidewell", "00431"]],
        "Sign-in": [
            ["Old Mill Grange, Tidewell", "March 8, 2025"],
            ["Name", "Address", "City", "ZIP"],
            ["Ada Holm", "5 Reed St", "Tidewell", "00431"],
            ["Ben Ito", "7 Reed St", "Farrow", "00977"],
        ],
    }
    book = make_workbook({name: sheets[name] for name in order})
    counts = take_in([("season.xlsx", book)], by=None, at=AT).counts

    assert (counts["attendances"], counts["outside_area"]) == (2, 1)
    workshop = Workshop.objects.select_related("venue", "jurisdiction").get()
    assert (workshop.venue.name, workshop.jurisdiction.name) == ("Old Mill Grange", "Tidewell")
    row = PaperworkRow.objects.get(sheet="Places", outcome="made")
    assert {type(one.record).__name__ for one in row.made.all()} == {"Jurisdiction", "ServedPlace"}
    assert Jurisdiction.objects.count() == 1


def test_a_workbook_of_places_and_people_comes_in_whole_or_not_at_all(monkeypatch):
    book = make_workbook(
        {
            "Places": [["Jurisdiction", "City", "ZIP"], ["Tidewell", "Tidewell", "00431"]],
            "Sign-in": [TITLE, ["Name", "Address", "ZIP"], ["Ada Holm", "5 Reed St", "00431"]],
        }
    )
    monkeypatch.setattr("outreach.intake.writing.keep_rows", lambda *_: 1 / 0)

    with pytest.raises(ZeroDivisionError):
        take_in([("season.xlsx", book)], by=None, at=AT)

    assert not Jurisdiction.objects.exists()


def test_a_venue_that_only_the_name_of_the_file_gives_is_looked_at():
    rows = [["Name", "Address", "City", "ZIP"], ["Ada Holm", "5 Reed St", "Tidewell", "00431"]]
    taken_in(("Priya's scans 2025-03-08.csv", make_csv(rows)))

    assert "Venue: only the file's name gives it" in waiting("Priya's scans 2025-03-08.csv")[0]


def test_a_venue_on_record_goes_before_other_words_of_the_file_name_and_of_titles():
    rows = [["Name", "Address", "City", "ZIP"], ["Ada Holm", "5 Reed St", "Tidewell", "00431"]]
    taken_in(("one.csv", make_csv([TITLE, *rows])))
    taken_in(("Priya's scans 2025-03-09 Old Mill Grange.csv", make_csv(rows)))
    taken_in(
        (
            "two.csv",
            make_csv([["Green Valley Waste District"], ["Old Mill Grange"], ["March 10, 2025"], *rows]),
        )
    )

    assert {(one.held_on.day, one.venue.name) for one in Workshop.objects.all()} == {
        (8, "Old Mill Grange"),
        (9, "Old Mill Grange"),
        (10, "Old Mill Grange"),
    }
    assert waiting("Priya's scans 2025-03-09 Old Mill Grange.csv") == []


DECIMALS = ["Date", "Name", "Address", "ZIP", "Still composting", "Food scraps per week"]


@pytest.mark.parametrize(
    ("beside", "written", "millilitres", "waits"),
    [
        ("1,5 litros", "1.000 ml", 1_000_000, True),  # a thousand litres a week: kept, and looked at
        ("1,5 litros", "1,250 litros", 1250, False),
        ("1.5 liters", "1.250 liters", 1250, False),
        ("2 liters", "1.250 liters", None, True),
        ("2 liters", 1.125, None, True),
    ],
)
def test_the_decimal_sign_is_that_of_the_other_answers(beside, written, millilitres, waits):
    if written == "1.000 ml":
        written = "1.000 litros"
    rows = [
        TITLE,
        ["Name", "Address", "City", "ZIP"],
        ["Ada Holm", "5 Reed St", "Tidewell", "00431"],
        ["Ben Ito", "7 Reed St", "Tidewell", "00431"],
    ]
    answers = [
        DECIMALS,
        ["2025-06-01", "Ada Holm", "5 Reed St", "00431", "yes", beside],
        ["2025-06-01", "Ben Ito", "7 Reed St", "00431", "yes", written],
    ]
    taken_in(("sheet.csv", make_csv(rows)), ("answers.xlsx", make_workbook(answers)))

    answer = Answer.objects.get(household__street_key="7 REED ST")
    assert answer.food_ml_per_week == millilitres
    assert bool(answer.review_reason) is waits


def test_a_person_chooses_the_row_with_the_headings_and_it_is_remembered(as_coordinator):
    as_coordinator.post(reverse("intake"), {"files": _file("places.csv", PLACES)})
    as_coordinator.post(reverse("intake_take_in_all"))
    # The words of the second row look more like headings than the real ones below.
    rows = [
        ["Name", "Address", "City", "as on the back"],
        ["Guest", "Home", "Town", "Code"],
        ["Ada Holm", "5 Reed St", "Tidewell", "00431"],
    ]
    as_coordinator.post(reverse("intake"), {"files": _file("sheet.csv", make_csv(rows))})
    file = PaperworkFile.objects.staged().get()
    url = reverse("paperwork_columns", args=[file.pk])
    given = columns_form(as_coordinator.get(url))
    assert given["sheet0-heading_row"] == 1

    page = as_coordinator.post(url, given | {"sheet0-heading_row": "2", "do": "take_in"})
    given = columns_form(page)
    assert (given["sheet0-heading_row"], given["sheet0-columns_of"]) == (2, 2)
    assert not Registration.objects.exists()
    given |= {"sheet0-kind": "sign_in", "sheet0-held_on": "2025-03-08", "sheet0-venue": "Old Mill Grange"}
    given |= {"sheet0-city": "Tidewell", "sheet0-starts": "2 pm", "do": "take_in"}
    given |= {f"sheet0-column{n}": says for n, says in enumerate(("name", "address", "city", "zip"))}
    as_coordinator.post(url, given)

    assert Registration.objects.get().participant.full_name == "Ada Holm"
    assert Workshop.objects.get().starts_at_time.hour == 14
    assert LayoutMapping.objects.get().columns == ["name", "address", "city", "zip"]
    more = make_csv([*rows[:2], ["Ben Ito", "7 Reed St", "Tidewell", "00431"]])
    as_coordinator.post(reverse("intake"), {"files": _file("next.csv", more)})
    (reading,) = staging.readings_of(PaperworkFile.objects.staged().get())
    assert (reading.heading_row, [column.says for column in reading.columns]) == (
        2,
        ["name", "address", "city", "zip"],
    )


def columns_form(page):
    form = page.context["parts"][0].form
    return {form[name].html_name: form[name].value() or "" for name in form.fields}


def _file(name, data):
    return SimpleUploadedFile(name, data)
