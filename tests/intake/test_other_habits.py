"""Sheets with other habits than the ones at hand; the truth of each was written down by hand."""

from datetime import UTC, date, datetime

import pytest
from openpyxl import Workbook

from outreach.bins.models import BinModel, Handout, StockBalance
from outreach.followup.models import Answer
from outreach.households.models import Household, Participant
from outreach.intake.models import PaperworkRow
from outreach.intake.taking_in import take_in
from outreach.workshops.models import Registration, Workshop
from tests.factories.bins import make_bin_model
from tests.factories.paperwork import PLACES, make_csv, make_workbook, saved

AT = datetime(2026, 9, 1, 18, tzinfo=UTC)
pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


def taken_in(*files: tuple[str, bytes]) -> dict[str, int]:
    return take_in([("places.csv", PLACES), *files], by=None, at=AT).counts


def the_people() -> set[tuple[str, str, str, str, str]]:
    return {
        (
            p.full_name,
            p.household.street_key,
            p.household.unit_key,
            p.household.city_name,
            p.household.zip_code,
        )
        for p in Participant.objects.select_related("household")
    }


def the_bins() -> set[tuple[str, str]]:
    return {(one.participant.full_name, one.bin_model.name) for one in Handout.objects.all()}


def test_two_name_columns_a_whole_address_in_one_cell_and_one_column_for_email_and_phone():
    make_bin_model(name="Mesh ring 90 gal", family="mesh")
    rows = [
        ["TIDEWELL BACKYARD COMPOSTING CLASS"],
        ["Saturday, March 8, 2025", None, None, "Venue: Old Mill Grange, Tidewell"],
        [],
        ["Last name", "First name", "Home address (with city and ZIP)", "E-mail or phone", "Took a bin"],
        ["OKAFOR", "ADAEZE", "14 Fern Hollow Rd, Tidewell, OR 00431", "adaeze@example.org", "x"],
        ["de la Cruz", "Inés", "220 Pier Street Apt 3B, Cinder Falls OR 00432", "(555) 555-0134", None],
        [
            "Brandt",
            "Otto",
            "9 Quarry Lane #2, Cinder Falls, 00432-1187",
            "otto@example.org / 555-555-0119",
            "X",
        ],
        ["Subtotal", None, None, None, 2],
        ["Nwosu", "Chidi", "77 N. Harbor Blvd., Farrow, OR 00977", "chidi@example.org", "no"],
        ["Total: 4 people"],
    ]

    counts = taken_in(("class.xlsx", make_workbook(rows, merged={"Sheet1": ["A1:E1"]})))

    assert (counts["attendances"], counts["handouts"], counts["outside_area"]) == (4, 2, 1)
    assert the_people() == {
        ("Adaeze Okafor", "14 FERN HOLLOW RD", "", "Tidewell", "00431"),
        ("Inés de la Cruz", "220 PIER ST", "3B", "Cinder Falls", "00432"),
        ("Otto Brandt", "9 QUARRY LN", "2", "Cinder Falls", "00432"),
        ("Chidi Nwosu", "77 N HARBOR BLVD", "", "Farrow", "00977"),
    }
    otto = Participant.objects.get(full_name="Otto Brandt")
    assert (otto.email, otto.phone_key) == ("otto@example.org", "5555550119")
    assert Participant.objects.get(full_name="Inés de la Cruz").phone_key == "5555550134"
    workshop = Workshop.objects.get()
    assert (workshop.held_on, workshop.venue.name) == (date(2025, 3, 8), "Old Mill Grange")
    assert workshop.jurisdiction.name == "Tidewell"


def test_a_spanish_list_with_semicolons_in_windows_1252_and_days_before_months():
    rows = [
        ["Fecha", "Lugar", "Nombre y apellido", "Dirección", "Ciudad",
         "Código postal", "Correo", "¿Se llevó compostera?", "Tipo de compostera"],
        ["27/04/2025", "Biblioteca Peñasco, Cinder Falls", "Peña, José",
         "31 Calle Sol", "Cinder Falls", "432", "jose@example.org", "sí", "Malla 90 gal"],
        ["27/04/2025", "Biblioteca Peñasco, Cinder Falls", "Núñez, Lucía",
         "8 Canal St", "Upper Cinder Falls", "433", "", "no", ""],
        ["11/05/2025", "Granja Vieja, Tidewell", "Zoë Ibáñez",
         "5 Dune Ct", "Tidewell", "431", "", "sí", "Volteadora 50 gal"],
    ]  # fmt: skip

    counts = taken_in(("lista.csv", make_csv(rows, separator=";", encoding="cp1252")))

    assert (counts["workshops"], counts["attendances"], counts["handouts"]) == (2, 3, 2)
    assert {(w.held_on, w.venue.name, w.jurisdiction.name) for w in Workshop.objects.all()} == {
        (date(2025, 4, 27), "Biblioteca Peñasco", "Cinder Falls"),
        (date(2025, 5, 11), "Granja Vieja", "Tidewell"),
    }
    assert the_bins() == {("José Peña", "Malla 90 gal"), ("Zoë Ibáñez", "Volteadora 50 gal")}
    families = {one.bin_model.name: one.bin_model.family for one in Handout.objects.all()}
    assert families == {"Malla 90 gal": "mesh", "Volteadora 50 gal": "tumbler"}
    assert Household.objects.get(street_key="8 CANAL ST").jurisdiction.name == "Cinder Falls"


def test_no_headings_and_the_day_and_venue_only_in_the_name_of_the_file():
    make_bin_model(name="Cedar slat box", family="timber")
    rows = [
        [1, "Mara Voss", "12 Gull Way", "Tidewell", 431, "mara@example.org", "y"],
        [2, "Teo Lindgren", "40 Gull Way Unit 6", "Tidewell", 431, "teo@example.org", "n"],
        [3, "Priya Raman", "3 Alder Ave", "Cinder Falls", 432, "priya@example.org", "y"],
        [4, "Sam Oduya", "18 Alder Ave", "Cinder Falls", 432, "sam@example.org", "y"],
    ]

    counts = taken_in(("2025-06-14_Shoreline_Park_Tidewell_signin.csv", make_csv(rows)))

    assert (counts["attendances"], counts["handouts"], counts["outside_area"]) == (4, 3, 0)
    workshop = Workshop.objects.get()
    assert (workshop.held_on, workshop.venue.name) == (date(2025, 6, 14), "Shoreline Park")
    assert workshop.jurisdiction.name == "Tidewell"
    assert ("Teo Lindgren", "40 GULL WAY", "6", "Tidewell", "00431") in the_people()


def test_the_kind_of_bin_as_the_sign_hidden_and_empty_columns_and_serial_days():
    make_bin_model(name="Mesh ring 90 gal", family="mesh")
    make_bin_model(name="Spinner tumbler 45 gal", family="tumbler")
    book = Workbook()
    sheet = book.active
    sheet.append(["Bin give-away sign in"])
    sheet.append(["Event date", 45794, None, None, "Site", None, "Cinder Falls Fire Hall"])
    sheet.append(["Full name", None, "Street", "Zip", "City", None, "Bin", "E-mail"])
    sheet.append(["Hana Petrov", None, "1 Ridge Road", 432, "Cinder Falls", None, "Mesh", "hana@example.org"])
    sheet.append(["Luis Amado", None, "2 Ridge Road", 432, "Cinder F.", None, "tumbler", "luis@example.org"])
    sheet.append(["Full name", None, "Street", "Zip", "City", None, "Bin", "E-mail"])
    sheet.append(["June Abbott", None, "3 Ridge Road", 433, "Upper Cinder Falls", None, "none", None])
    sheet.append(["Kit Marlow", None, "4 Ridge Road", 432, "Cinder Falls", None, "-", None])
    sheet.column_dimensions["H"].hidden = True

    counts = taken_in(("giveaway.xlsx", saved(book)))

    assert (counts["attendances"], counts["handouts"]) == (4, 2)
    assert the_bins() == {("Hana Petrov", "Mesh ring 90 gal"), ("Luis Amado", "Spinner tumbler 45 gal")}
    # Day 45794 counted from 30 December 1899 is 17 May 2025.
    assert Workshop.objects.get().held_on == date(2025, 5, 17)
    assert Participant.objects.get(full_name="Hana Petrov").email == "hana@example.org"


def test_two_workshops_in_one_workbook_a_couple_with_two_bins_and_a_person_written_twice():
    make_bin_model(name="Mesh ring 90 gal", family="mesh")
    headings = ["Name", "Address", "City", "Zip", "Bin?"]
    march = [
        ["Location: Harbor Annex, Tidewell"],
        headings,
        ["Ines Fell", "6 Kelp St", "Tidewell", "00431", "yes"],
        ["Robin Fell", "6 Kelp Street", "Tidewell", "00431", "yes"],
        ["Ann Moss", "21 Kelp St", "Tidewell", "00431", "yes"],
        ["MOSS, ANN", "21 KELP ST.", "Tidewell", "00431", "yes"],
    ]
    april = [
        ["Location: Harbor Annex, Tidewell"],
        headings,
        ["Ann Moss", "21 Kelp St", "Tidewell", "00431", "yes"],
        ["Ola Sand", "8 Kelp St", "Tidewell", "00431", ""],
    ]
    sheets = {"March 3 2025": march, "April 7 2025": april, "Notes": [["bring more chairs"]]}

    counts = taken_in(("spring.xlsx", make_workbook(sheets)))

    assert counts["workshops"] == 2
    assert counts["attendances"] == 5
    assert (counts["people"], counts["households"]) == (4, 3)
    # Both of the Fells, and Ann in March and again in April.
    assert (counts["handouts"], counts["second_bins"]) == (4, 2)
    assert Handout.objects.filter(exception__kind="second_bin").count() == 2


def test_answers_by_month_under_long_questions_in_any_order():
    sheet = [
        ["Name", "Address", "City", "ZIP", "Bin", "Date", "Location"],
        ["Ada Holm", "5 Reed St", "Tidewell", "00431", "mesh bin", "2025-02-01", "Harbor Annex, Tidewell"],
        ["Ben Ito", "7 Reed St", "Tidewell", "00431", "mesh bin", "2025-02-01", "Harbor Annex, Tidewell"],
    ]
    answers = [
        ["Comments", "How much yard waste per month?", "How much kitchen scraps do you add per month?",
         "Are you still using the bin?", "Your e-mail address", "Full name", "Street address", "Submission Date"],
        ["loving it", "4 bags", "8 gallons", "Yes", "ada@example.org", "Ada Holm", "5 Reed Street", "Sep 3, 2025"],
        ["", "", "", "no longer", "", "Ito, Ben", "7 REED ST", "Sep 4, 2025"],
        ["", "", "lots", "yes", "who@example.org", "Nobody Known", "99 Reed St", "Sep 5, 2025"],
    ]  # fmt: skip

    counts = taken_in(("signin.csv", make_csv(sheet)), ("survey.csv", make_csv(answers, separator="\t")))

    assert (counts["answers"], counts["answers_active"]) == (2, 1)
    ada = Answer.objects.get(composting="yes")
    # 8 US gallons are 30,283 ml, over 52.1775 / 12 weeks.
    assert ada.food_ml_per_week == pytest.approx(30_283 / (52.1775 / 12), abs=1)
    assert ada.answered_on == date(2025, 9, 3)
    assert Answer.objects.get(composting="stopped").household.street_key == "7 REED ST"
    lost = PaperworkRow.objects.for_review().get(outcome="not_read")
    assert "Household" in lost.review_reason
    assert "Nobody Known" in lost.cells


def test_a_stock_list_of_counts_only_starts_the_ledger_with_them():
    rows = [
        ["Inventory as of 5/1/2025"],
        ["Product", "On hand", "Notes"],
        ["Cedar slat box 70 gal", 12, ""],
        ["Worm box, 2 trays", "7", "garage"],
        ["TOTAL", 19, ""],
    ]

    taken_in(("stock.xlsx", make_workbook(rows)))

    found = {(m.name, m.family, m.litres, m.confirmed_at) for m in BinModel.objects.all()}
    assert found == {
        ("Cedar slat box 70 gal", "timber", 265, None),
        ("Worm box, 2 trays", "worm_box", None, None),
    }
    assert {b.bin_model.family: b.on_hand for b in StockBalance.objects.all() if b.on_hand} == {
        "timber": 12,
        "worm_box": 7,
    }


def test_city_and_zip_that_disagree_are_decided_by_the_zip_and_looked_at():
    make_bin_model(name="Mesh ring 90 gal", family="mesh")
    rows = [
        ["Date: 3/1/2025", "Location: Harbor Annex, Tidewell"],
        ["Name", "Address", "City", "ZIP", "Bin"],
        ["Lea Horn", "1 Salt Ct", "Tidewell", "00432", "y"],
    ]

    counts = taken_in(("march.csv", make_csv(rows)))

    assert (counts["attendances"], counts["handouts"], counts["outside_area"]) == (1, 1, 0)
    household = Household.objects.get()
    assert (household.zip_code, household.jurisdiction.name) == ("00432", "Cinder Falls")
    row = PaperworkRow.objects.for_review().get(file__kind="sign_in")
    assert "ZIP was believed" in row.review_reason
    assert Registration.objects.get().is_outside_area is False


def test_two_lists_under_each_other_and_answers_in_the_same_workbook():
    make_bin_model(name="Mesh ring 90 gal", family="mesh")
    headings = ["Name", "Address", "City", "ZIP", "Bin"]
    lists = [
        ["Date: 3/1/2025", "Location: Harbor Annex, Tidewell"],
        headings,
        ["Ada Holm", "5 Reed St", "Tidewell", "00431", "mesh"],
        [],
        ["Date: 4/5/2025", "Location: Fire Hall, Cinder Falls"],
        headings,
        ["Ben Ito", "7 Reed St", "Tidewell", "00431", "n"],
    ]
    answers = [
        ["Date", "Name", "Address", "Still composting?"],
        ["2025-09-01", "Ada Holm", "5 Reed St", "yes"],
    ]

    counts = taken_in(("both.xlsx", make_workbook({"Lists": lists, "Answers": answers})))

    assert (counts["workshops"], counts["attendances"], counts["handouts"], counts["answers"]) == (2, 2, 1, 1)
    assert {(w.held_on, w.venue.name, w.jurisdiction.name) for w in Workshop.objects.all()} == {
        (date(2025, 3, 1), "Harbor Annex", "Tidewell"),
        (date(2025, 4, 5), "Fire Hall", "Cinder Falls"),
    }
