"""The pages for residents: list, workshop, form, booking, offer; in both languages and for anybody."""

import datetime
import re

import pytest
from django.urls import reverse

from outreach.households.models import Participant
from outreach.post.models import Message
from outreach.workshops import giving_back, holding, recipients, trying
from outreach.workshops.models import Booking, Offer, Registration, SignUpTry
from tests.factories.households import make_participant
from tests.factories.places import make_jurisdiction, make_served_place, make_venue
from tests.factories.staff import make_member
from tests.workshops.sign_ups import AT, make_home_on_record, make_public_workshop, sign_up

pytestmark = pytest.mark.django_db

SENT = {
    "form_key": "00000000-0000-4000-8000-000000000001",
    "full_name": "Ada Holm",
    "people": "2",
    "street": "5 Reed Street",
    "city": "Quillby",
    "zip_code": "00071",
    "reach_by": "email",
    "email": "ada@example.org",
    "language": "en",
    "wants_bin": "on",
}


@pytest.fixture(autouse=True)
def today(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: AT)


def send(client, workshop, language="", **differences):
    address = reverse("sign_up", args=[workshop.pk]) + (f"?language={language}" if language else "")
    return client.post(address, SENT | differences)


def page(client, address):
    return client.get(address).content.decode()


def my_page(client, booking):
    return page(client, recipients.booking_path(booking))


def test_the_list_shows_what_is_public_and_to_come(client):
    shown = make_public_workshop()
    make_public_workshop(venue=make_venue(name="Fern Library"), is_public=False)
    make_public_workshop(venue=make_venue(name="Mill Barn"), held_on=datetime.date(2026, 5, 1))

    text = page(client, reverse("public_workshops"))

    assert reverse("public_workshop", args=[shown.pk]) in text
    assert "10 of 10 places left" in text
    assert "Fern Library" not in text
    assert "Mill Barn" not in text


@pytest.mark.parametrize(
    ("query", "shown"),
    [
        ("", {"Orchard House", "Fern Library"}),
        ("spoken=es", {"Fern Library"}),
        (f"month={2026 * 12 + 5}", {"Fern Library"}),
        (f"month={2026 * 12 + 4}", {"Orchard House"}),
        ("month=nonsense", {"Orchard House", "Fern Library"}),
    ],
)
def test_the_list_narrows_by_language_and_month(client, query, shown):
    make_public_workshop()
    make_public_workshop(
        venue=make_venue(name="Fern Library"), language="es", held_on=datetime.date(2026, 6, 6)
    )

    text = page(client, reverse("public_workshops") + f"?{query}")

    assert {name for name in ("Orchard House", "Fern Library") if name in text} == shown


def test_the_list_narrows_by_place(client):
    here = make_public_workshop()
    make_public_workshop(
        venue=make_venue(name="Fern Library", jurisdiction=make_jurisdiction(name="Tidewell"))
    )

    text = page(client, reverse("public_workshops") + f"?place={here.jurisdiction_id}")

    assert "Fern Library" not in text


@pytest.mark.parametrize(
    ("language", "words"),
    [("en", "Your places are kept"), ("es", "Sus lugares están reservados")],
)
def test_who_signs_up_lands_on_the_page_of_the_booking_in_their_language(client, language, words):
    workshop = make_public_workshop()

    answer = send(client, workshop, language=language)
    said = page(client, answer.url)

    assert answer.status_code == 302
    booking = Booking.objects.get()
    assert (booking.people, booking.email, booking.typed_name) == (2, "ada@example.org", "Ada Holm")
    if language == "es":
        said = page(client, answer.url.replace("language=en", "language=es"))
    assert words in said


def test_the_confirmation_names_the_day_and_carries_the_link(client, settings):
    settings.PUBLIC_URL = "https://compost.example.org"

    send(client, make_public_workshop())

    message = Message.objects.get(kind="workshops.confirmation")
    assert message.subject == "You signed up: Home composting class, Saturday, 9 May 2026"
    assert "https://compost.example.org/sign-up/mine/" in message.body


def test_a_spanish_reader_gets_a_spanish_confirmation(client):
    workshop = make_public_workshop(confirm_by_on=datetime.date(2026, 5, 6))

    client.post(reverse("sign_up", args=[workshop.pk]), SENT | {"language": "es"})

    message = Message.objects.get(kind="workshops.confirmation")
    assert message.subject == "Su inscripción: Clase de compostaje en casa, sábado, 9 de mayo de 2026"
    assert "2 personas" in message.body


def stripped(text):
    """A page without what differs each time: tokens of links and of forms."""
    return re.sub(r'mine/[^/"]+/|value="[A-Za-z0-9]{64}"', "", text)


def test_known_and_unknown_households_are_answered_alike(client):
    workshop = make_public_workshop(seats=3, bins_planned=2)
    sign_up(workshop, names=("ADA  HOLM",), street="5 Reed St.", email="known@example.org")

    known = send(client, workshop)
    known_page = page(client, known.url)
    left_known = page(client, reverse("public_workshop", args=[workshop.pk]))
    [booking] = Booking.objects.filter(email="ada@example.org")
    giving_back.give_back(booking=booking, because="themselves", at=AT)
    other = {"street": "77 Never Heard Road", "form_key": "00000000-0000-4000-8000-000000000002"}
    unknown = send(client, workshop, **other)

    assert known.status_code == unknown.status_code == 302
    assert stripped(known_page) == stripped(page(client, unknown.url))
    assert stripped(left_known) == stripped(page(client, reverse("public_workshop", args=[workshop.pk])))


def test_a_known_household_that_stands_by_is_answered_like_any_other(client):
    workshop = make_public_workshop(seats=2)
    sign_up(workshop, names=("Ada Holm", "Ben Holm"), street="5 Reed Street")

    known = send(client, workshop)
    unknown = send(client, workshop, street="77 Never Heard Road", form_key=SENT["form_key"][:-1] + "2")

    assert stripped(page(client, known.url)) == stripped(page(client, unknown.url))


def test_whoever_is_on_record_at_the_address_is_told_and_nothing_typed_is_repeated(client):
    workshop = make_public_workshop()
    home = make_home_on_record()
    make_participant(household=home, full_name="Ben Holm", email="ben@example.org")

    send(client, workshop, full_name="Mallory Quickfingers", email="mallory@example.org")

    [notice] = Message.objects.filter(kind="workshops.already_known")
    assert notice.recipient_email == "ben@example.org"
    assert "Quickfingers" not in notice.subject + notice.body


def test_who_signs_up_again_with_the_contact_on_record_is_not_warned_of_themselves(client):
    workshop = make_public_workshop()
    home = make_home_on_record()
    make_participant(household=home, full_name="Ada Holm", email="ada@example.org")

    send(client, workshop)

    assert not Message.objects.filter(kind="workshops.already_known").exists()


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"full_name": "See http://example.org"}, "Give a name in letters"),
        ({"email": ""}, "Give the e-mail address"),
        ({"reach_by": "phone"}, "Give the phone number"),
        ({"reach_by": "phone", "phone": "call me"}, "not a phone number"),
        ({"people": "0"}, "Must be 1 or more"),
        ({"people": "11"}, "10 or"),
        ({"people": "1", "others": "Ben Holm"}, "You named 2 people"),
        ({"street": "nowhere"}, "number"),
        ({"website": "http://example.org"}, "Leave this field empty"),
        ({"form_key": "nonsense"}, "Not saved yet"),
    ],
)
def test_what_is_not_in_order_is_said_and_nothing_is_written(client, differences, sentence):
    answer = send(client, make_public_workshop(), **differences)

    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not Booking.objects.exists()
    assert not Participant.objects.exists()


def test_the_mark_of_the_flyer_goes_along(client):
    workshop = make_public_workshop()

    form = page(client, reverse("sign_up", args=[workshop.pk]) + "?from=library-3<script>")
    assert 'name="flyer_mark" value="library-3script"' in form
    send(client, workshop, flyer_mark="library-3", heard="flyer")

    assert Booking.objects.get().flyer_mark == "library-3"


def test_the_form_says_what_is_kept_and_for_how_long(client):
    text = page(client, reverse("sign_up", args=[make_public_workshop().pk]))

    assert "What we keep, and for how long" in text
    assert "We keep them as long as the programme must show" in text


@pytest.mark.parametrize("state", ["closed", "hidden", "cancelled"])
def test_a_workshop_that_takes_no_sign_ups_says_so(client, state):
    workshop = make_public_workshop(
        is_public=state != "hidden", sign_up_closes_at=AT if state == "closed" else None
    )
    if state == "cancelled":
        holding.cancel(workshop=workshop, reason="Storm", by=make_member(), at=AT)

    answer = send(client, workshop)

    assert answer.status_code == (404 if state == "hidden" else 200)
    assert not Booking.objects.exists()


def test_a_contact_that_is_used_without_end_is_stopped_and_nothing_is_booked(client):
    workshop = make_public_workshop(seats=40)
    for number in range(trying.MOST_PER_CONTACT):
        key = f"00000000-0000-4000-8000-{number:012d}"
        assert send(client, workshop, form_key=key, street=f"{number + 1} Fern Road").status_code == 302

    answer = send(client, workshop, form_key="00000000-0000-4000-8000-000000000099", street="99 Fern Road")

    assert answer.status_code == 429
    assert Booking.objects.count() == trying.MOST_PER_CONTACT
    assert not SignUpTry.objects.filter(key__contains="ada").exists()


def test_an_hour_later_it_may_be_used_again():
    contacts = ("ada@example.org",)
    for _time in range(trying.MOST_PER_CONTACT):
        trying.is_too_often(network_address="192.0.2.1", contacts=contacts, at=AT)

    assert trying.is_too_often(network_address="192.0.2.2", contacts=contacts, at=AT)
    later = AT + datetime.timedelta(hours=1, seconds=1)
    assert not trying.is_too_often(network_address="192.0.2.2", contacts=contacts, at=later)
    assert trying.forget_old(later + datetime.timedelta(days=1)) > 0


def test_the_link_confirms_changes_and_gives_back(client):
    booking = sign_up(make_public_workshop(confirm_by_on=datetime.date(2026, 5, 6)))
    mine = recipients.booking_path(booking)

    assert "Confirm: we come" in page(client, mine)
    client.post(f"{mine}confirm/")
    assert "Confirm: we come" not in page(client, mine)
    said = {"people": "3", "reach_by": "phone", "phone": "555-555-0142", "language": "es"}
    assert client.post(f"{mine}change/", said).status_code == 302
    booking.refresh_from_db()
    assert (booking.people, booking.language, booking.confirmed_at) == (3, "es", AT)
    client.post(f"{mine}give-back/")

    booking.refresh_from_db()
    assert (booking.state, booking.cancelled_because) == ("cancelled", "themselves")
    assert "You have no places there any more" in page(client, mine)


@pytest.mark.parametrize("state", ["booked", "attended"])
@pytest.mark.parametrize("step", ["confirm/", "give-back/", "change/"])
def test_once_it_has_begun_the_link_answers_alike_whoever_came(client, monkeypatch, state, step):
    booking = sign_up(make_public_workshop())
    Registration.objects.update(state=state)
    monkeypatch.setattr("django.utils.timezone.now", lambda: AT + datetime.timedelta(days=7))
    mine = recipients.booking_path(booking)

    answer = client.post(f"{mine}{step}", {"people": "1"}, follow=True)

    assert "This workshop has begun, so nothing can be changed here any more." in answer.content.decode()
    booking.refresh_from_db()
    assert (booking.state, booking.confirmed_at, Registration.objects.get().state) == ("booked", None, state)


@pytest.mark.parametrize("address", ["mine/nonsense/", "offer/nonsense/", "mine/nonsense/change/"])
def test_a_link_that_was_cut_off_is_a_page_in_words(client, address):
    answer = client.get(f"/sign-up/{address}")

    assert answer.status_code == 404
    assert "This link does not work" in answer.content.decode()


def test_a_link_of_one_kind_does_not_open_another(client):
    token = recipients.booking_path(sign_up(make_public_workshop())).split("/")[-2]

    assert client.get(reverse("my_offer", args=[token])).status_code == 404


def test_pages_behind_a_link_are_kept_by_no_cache(client):
    answer = client.get(recipients.booking_path(sign_up(make_public_workshop())))

    assert answer["Cache-Control"] == "private, no-store"
    assert answer["X-Robots-Tag"] == "noindex"


@pytest.mark.parametrize(("said", "words"), [("yes", "You said yes"), ("no", "You said no")])
def test_an_offer_is_answered_through_its_link(client, said, words):
    workshop = make_public_workshop(seats=1)
    first = sign_up(workshop)
    sign_up(workshop)
    giving_back.give_back(booking=first, because="themselves", at=AT)
    address = re.search(r"/sign-up/offer/\S+", Message.objects.get(kind="workshops.offer").body)[0]

    assert "Yes, we come" in page(client, address)
    answer = client.post(address, {"answer": said}, follow=True)

    assert words in answer.content.decode()
    assert Offer.objects.get().outcome == {"yes": "accepted", "no": "declined"}[said]


def test_an_address_elsewhere_is_not_sent_away(client):
    workshop = make_public_workshop(bins_planned=5)
    make_served_place(city_name="Tidewell", zip_code="00431")

    answer = send(client, workshop, city="Farholm", zip_code="99999")

    text = page(client, answer.url)
    assert "Your places are kept" in text
    assert "Come all the same" in text
    assert reverse("bin_advice") in text
