"""Letters: an address in the window, the reader's language, and told once they are noted as printed."""

import datetime
import io

import pytest
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader
from reportlab.pdfbase.pdfmetrics import stringWidth

from outreach.post import letters, window_envelope
from outreach.post.models import Message
from outreach.staff.faces import register_faces
from tests.factories.post import AT, SAMPLE, make_addressee, make_kind, make_letter, make_message

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("known_kinds")]
ON = datetime.date(2026, 5, 1)
INCH = 72
SHEET_HEIGHT, FOLDED = 11 * INCH, 11 / 3 * INCH
ENVELOPE_HEIGHT, WINDOW_LEFT, WINDOW_RIGHT = 4.125 * INCH, 0.875 * INCH, 5.375 * INCH
WINDOW_BOTTOM, WINDOW_TOP = 0.5 * INCH, 1.625 * INCH
LONG = (
    "Apartment 1204, Building C, Bellweather Gardens",
    "11708 Saint Bartholomew of the Orchards Boulevard",
    "Tidewell-on-the-Marsh, CA 00431-1234",
)


def pdf_of(*messages):
    target = io.BytesIO()
    letters.write_letters(messages, target, on=ON)
    return PdfReader(target)


def lines_with_places(page):
    """Each piece of text with where its line begins, from the left and from the top, in points."""
    found = []
    page.extract_text(
        visitor_text=lambda text, _cm, tm, _font, _size: (
            text.strip() and found.append((text.strip(), tm[4], SHEET_HEIGHT - tm[5]))
        )
    )
    return found


@pytest.mark.parametrize("lines", [("5 Reed St", "Tidewell 00431"), LONG])
@pytest.mark.parametrize("name", ["Ada Holm", "Maximiliana Wolfeschlegelsteinhausen-Oyelaran"])
def test_the_address_shows_in_the_window_wherever_the_sheet_slides(name, lines):
    """A no. 10 envelope and its window, in inches from memory: see the module."""
    register_faces()
    message = make_message(to=make_addressee(name=name, email="", postal_lines=lines))

    [page] = pdf_of(message).pages
    places = [place for place in lines_with_places(page) if place[0] in (name, *lines)]

    size = window_envelope.size_that_fits([name, *lines], stringWidth)
    assert [text for text, _left, _down in places] == [name, *lines]
    for text, left, down in places:
        assert left >= WINDOW_LEFT
        assert left + stringWidth(text, window_envelope.PLAIN, size) <= WINDOW_RIGHT
        for slid in (0, ENVELOPE_HEIGHT - FOLDED):  # at the bottom of the envelope, at its top
            from_bottom = FOLDED - down + slid
            assert from_bottom >= WINDOW_BOTTOM
            assert from_bottom + size * 0.8 <= WINDOW_TOP


def test_a_letter_is_in_the_readers_language_and_every_letter_on_its_own_page():
    spanish = make_message(
        to=make_addressee(name="Bea Lima", language="es", email="", postal_lines=("5 Reed St",))
    )

    first, second = pdf_of(spanish, make_letter()).pages

    assert "tiene lugares el" in first.extract_text()
    assert "1 de mayo de 2026" in first.extract_text()
    assert "El mismo enlace" in first.extract_text()
    assert "you have places on" in second.extract_text()
    assert "Tidewell 00431" not in first.extract_text()


def test_a_long_letter_goes_on_over_the_page_without_a_second_address():
    make_kind(texts={"en": letters_text("A line that is said again. " * 400)})
    message = make_letter()

    first, second = pdf_of(message).pages[:2]

    assert "5 Reed St" in first.extract_text()
    assert "5 Reed St" not in second.extract_text()
    assert "said again" in second.extract_text()


def letters_text(body):
    from outreach.post.kinds import Text

    return Text("Subject", body + "\n\n$link")


def test_the_link_for_a_camera_is_the_first_in_the_text_without_its_full_stop():
    text = "See https://compost.example.org/mine/a:b-c_d/?x=1. Or call."

    assert letters.LINK.findall(text) == ["https://compost.example.org/mine/a:b-c_d/?x=1"]


def test_what_stands_in_a_value_is_not_taken_for_markup():
    message = make_letter(values=SAMPLE | {"name": "<b>Ada</b> & Bo"})

    assert "<b>Ada</b> & Bo" in pdf_of(message).pages[0].extract_text()


def test_printing_leaves_them_waiting_and_noting_them_tells_their_kind(as_coordinator, coordinator):
    told = []
    make_kind(when_told=lambda message, at: told.append(message.pk))
    goes, stays = make_letter(at=timezone.now()), make_letter(at=timezone.now())

    pdf = as_coordinator.get(reverse("letters_pdf"))
    pages = len(PdfReader(io.BytesIO(pdf.getvalue())).pages)
    waiting = Message.objects.letters().queued().count()
    answer = as_coordinator.post(reverse("letters_printed"), {"letter": [goes.pk, "x"]}, follow=True)

    goes.refresh_from_db()
    stays.refresh_from_db()
    assert (pages, waiting) == (2, 2)
    assert "1 letter is noted as printed" in answer.content.decode()
    assert (goes.state, goes.settled_by, stays.state) == ("printed", coordinator, "queued")
    assert told == [goes.pk]


def test_where_no_letter_waits_there_is_nothing_to_print(as_coordinator):
    answer = as_coordinator.get(reverse("letters_pdf"), follow=True)

    assert "No letter waits" in answer.content.decode()


def test_the_list_names_who_is_written_to(as_coordinator):
    make_letter(at=AT)

    page = as_coordinator.get(reverse("letters")).content.decode()

    assert "Ada Holm" in page
    assert reverse("letters_pdf") in page
