"""What is printed for a workshop, read back by a PDF library and a QR decoder."""

import io

import pytest
import zxingcpp
from django.urls import reverse
from pypdf import PdfReader

from outreach.staff.roles import Role
from outreach.workshops import row_codes
from outreach.workshops.models import Registration
from outreach.workshops.papers import flyer, labels, sign_in_sheet
from tests.factories.households import make_household, make_participant
from tests.factories.workshops import make_booking, make_registration, make_waiver_text, make_workshop
from tests.rendering import pages_of

pytestmark = pytest.mark.django_db
LONG_NAME = "Maximiliana Encarnación Wolfeschlegelsteinhausenbergerdorff-Featherstonehaugh"


def text_of(answer):
    data = b"".join(answer.streaming_content)
    assert answer["Content-Type"] == "application/pdf"
    return [page.extract_text() for page in PdfReader(io.BytesIO(data)).pages]


def test_the_sheet_names_whoever_is_expected_with_the_code_of_the_row(as_coordinator):
    workshop = make_workshop()
    expected = make_registration(workshop=workshop, participant=make_participant(full_name="Ada Marrow"))
    gone = make_registration(
        workshop=workshop, participant=make_participant(full_name="Bo Linden"), state="cancelled"
    )

    first, *_later = text_of(as_coordinator.get(reverse("workshop_sheet", args=[workshop.pk])))

    assert "Ada Marrow" in first
    assert row_codes.code_of(expected.pk) in first
    assert "Bo Linden" not in first
    assert row_codes.code_of(gone.pk) not in first
    assert "Name and address Nombre y dirección" in " ".join(first.split())


def test_the_sheet_ends_with_the_waiver_in_force_in_both_languages(as_coordinator):
    workshop = make_workshop()
    for language, body in (
        ("en", "I take the bin at my own risk."),
        ("es", "Tomo el compostador por mi cuenta."),
    ):
        make_waiver_text(version=2, language=language, body=body)

    *_first, last = text_of(as_coordinator.get(reverse("workshop_sheet", args=[workshop.pk])))
    alone = text_of(as_coordinator.get(reverse("workshop_waiver", args=[workshop.pk])))

    assert "at my own risk" in last
    assert "por mi cuenta" in last
    assert len(alone) == 2


def test_the_page_and_the_sheet_speak_of_the_same_people(as_coordinator):
    """Two by name, one of whom is here already and brought two; two on standby, in order; one gave it back."""
    workshop = make_workshop()
    for name, place in (
        ("Ada Marrow", {"state": "attended", "came_with": 2}),
        ("Bo Linden", {"state": "booked"}),
        ("Abe Second", {"state": "standby", "standby_place": 2}),
        ("Zoe First", {"state": "standby", "standby_place": 1}),
        ("Cy Gone", {"state": "cancelled"}),
    ):
        make_registration(workshop=workshop, participant=make_participant(full_name=name), **place)

    page = as_coordinator.get(reverse("workshop_print", args=[workshop.pk]))
    sheet = " ".join(text_of(as_coordinator.get(reverse("workshop_sheet", args=[workshop.pk]))))

    assert (page.context["people"], page.context["standby"]) == (6, 2)
    assert "6 people on the list" in page.content.decode()
    assert "Cy Gone" not in sheet
    order = ["Ada Marrow", "Bo Linden", "Standby, in order", "1. Zoe First", "2. Abe Second"]
    assert [sheet.index(words) for words in order] == sorted(sheet.index(words) for words in order)


def test_every_blank_line_has_a_code_of_its_own(as_coordinator):
    workshop = make_workshop()

    *_pages, last = text_of(as_coordinator.get(reverse("workshop_sheet", args=[workshop.pk])))

    for number in range(1, sign_in_sheet.BLANK_LINES + 1):
        assert last.count(row_codes.line_code(row_codes.Line(workshop.pk, number))) == 1


def test_a_name_of_any_length_stays_in_its_row(as_coordinator):
    workshop = make_workshop()
    for _number in range(30):
        make_registration(workshop=workshop, participant=make_participant(full_name=LONG_NAME))

    pages = text_of(as_coordinator.get(reverse("workshop_sheet", args=[workshop.pk])))

    assert sum(page.count("Maximiliana") for page in pages) == 30
    whole = "".join("".join(pages).split())
    assert whole.count("".join(LONG_NAME.split())) == 30


def test_the_code_on_a_flyer_leads_to_the_workshop_with_its_mark(as_coordinator):
    workshop = make_workshop(is_public=True, starts_at_time="10:00")

    answer = as_coordinator.get(reverse("workshop_flyer", args=[workshop.pk]), {"mark": "Main Library"})
    read = {one.text for one in zxingcpp.read_barcodes(pages_of(b"".join(answer.streaming_content))[0])}

    assert read == {
        flyer.address(workshop, mark="main-library", language=language) for language in ("en", "es")
    }
    assert as_coordinator.get(read.pop()).status_code == 200


def test_the_page_says_how_many_each_flyer_brought(as_coordinator):
    workshop = make_workshop()
    for mark in ("library", "library", "market", ""):
        make_booking(workshop=workshop, flyer_mark=mark)

    marks = as_coordinator.get(reverse("workshop_print", args=[workshop.pk])).context["marks"]

    assert [(one["flyer_mark"], one["bookings"]) for one in marks] == [("library", 2), ("market", 1)]


def test_a_household_gets_one_label_under_whoever_signed_it_up(as_coordinator):
    workshop, home = make_workshop(), make_household()
    lead = make_participant(household=home, full_name="Zoe Marrow")
    booking = make_booking(workshop=workshop, lead=lead)
    brought = make_participant(household=home, full_name="Ada Marrow")
    make_registration(workshop=workshop, participant=brought, booking=booking)

    listed = Registration.objects.at(workshop).with_people()

    assert [lines[0] for lines in labels.addresses_of(listed)] == ["Zoe Marrow"]


@pytest.mark.parametrize("size", labels.SHEETS)
def test_labels_lie_on_the_sheet(size):
    """A US letter sheet is 8.5 by 11 inches; labels neither overlap nor leave it."""
    sheet = labels.SHEETS[size]

    assert sheet.left + (sheet.columns - 1) * sheet.step_across + sheet.width <= 8.5
    assert sheet.top + sheet.rows * sheet.height <= 11
    assert sheet.step_across >= sheet.width


def test_labels_begin_where_the_sheet_is_still_whole(as_coordinator):
    workshop = make_workshop()
    for _number in range(2):
        make_registration(workshop=workshop)

    pages = text_of(
        as_coordinator.get(reverse("workshop_labels", args=[workshop.pk]), {"size": labels.FIRST, "used": 29})
    )

    assert len(pages) == 2


@pytest.mark.parametrize("size", labels.SHEETS)
def test_of_the_sheet_that_was_chosen_a_label_is_left(as_coordinator, size):
    make_registration(workshop=(workshop := make_workshop()))
    address, count = reverse("workshop_labels", args=[workshop.pk]), labels.SHEETS[size].count

    last = text_of(as_coordinator.get(address, {"size": size, "used": count - 1}))
    refused = as_coordinator.get(address, {"size": size, "used": count})

    assert len(last) == 1
    assert refused.status_code == 422
    assert f"A sheet of this size has {count} labels" in refused.content.decode()


def test_paper_with_addresses_is_for_those_who_may_see_them(as_role):
    workshop = make_workshop()
    for role, expected in ((Role.DOOR_CREW, 200), (Role.CITY_ANALYST, 403), (Role.AUDITOR, 403)):
        assert as_role(role).get(reverse("workshop_sheet", args=[workshop.pk])).status_code == expected
