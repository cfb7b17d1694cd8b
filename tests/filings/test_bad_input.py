"""Negative, absurd and contradictory answers, by every way they can come: in review, named, in no figure."""

import datetime

import pytest
from django.test import Client
from django.urls import reverse

from diversion.inputs import Quarter
from outreach.filings import composing, periods
from outreach.filings.gathering import Scope
from outreach.followup import answering_by_link
from outreach.followup.models import Answer
from outreach.intake import typed_sheets
from outreach.intake.taking_in import take_in
from outreach.intake.typed_sheets import Typed
from tests.factories.bins import make_handout, make_stay
from tests.factories.followup import make_invitation, make_wave
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_served_place
from tests.factories.staff import make_member
from tests.filings.programmes import programme

pytestmark = pytest.mark.django_db
QUARTER = periods.calendar_quarter(Quarter(year=2025, quarter=2))
CUT_OFF = datetime.date(2025, 8, 14)
DAY = datetime.date(2025, 6, 20)
AT = datetime.datetime(2025, 6, 20, 18, tzinfo=datetime.UTC)
HANDED_ON = datetime.date(2025, 3, 10)
# What was said, and what a person is told about it. 10 cubic yards are 7,646 litres a week.
BAD = {
    "negative": ("yes", "-3 gallons", "negative"),
    "absurd": ("yes", "10 cubic yards", "plausibly"),
    "contradictory": ("stopped", "3 gallons", "they stopped, yet say"),
}


@pytest.fixture
def home():
    """One more household of the programme, with a bin in use and nothing said yet."""
    jurisdiction = programme()
    make_served_place(jurisdiction=jurisdiction, city_name="Quillby", zip_code="00071")
    home = make_household(
        jurisdiction=jurisdiction, street="12 Alder Street", zip_code="00071", composting_before="new"
    )
    make_participant(household=home, full_name="Ada Holm", email="ada@example.org")
    make_handout(household=home, handed_on=HANDED_ON)
    make_stay(household=home, family="mesh", from_day=HANDED_ON.toordinal())
    return home


def composed(home):
    scope = Scope(jurisdiction=home.jurisdiction)
    return composing.compose(QUARTER, scope=scope, cut_off=CUT_OFF, choices={})


def by_the_form_of_the_office(home, composting, food):
    client = Client()
    client.force_login(make_member(role="coordinator"))
    said = {"answered_on": DAY, "channel": "phone", "asked_per": "week"}
    said |= {"composting": composting, "food_as_written": food}
    assert client.post(reverse("answer_add", args=[home.pk]), said).status_code == 302


def by_the_typed_grid(home, composting, food):
    coordinator = make_member()
    stack = typed_sheets.for_answers(on=DAY, by=coordinator, at=AT)
    texts = {"date": str(DAY), "name": "Ada Holm", "address": "12 Alder Street", "zip": "00071"}
    texts |= {"composting": composting, "food": food}
    typed_sheets.save_row(file=stack, typed=Typed(number=3, texts=texts), by=coordinator, at=AT)


def by_an_export(home, composting, food):
    export = (
        "Submitted at,Full name,Address,City,ZIP,Are you still composting?,Food scraps in the past week\n"
        f"06/20/2025 10:00,Ada Holm,12 Alder Street,Quillby,00071,{composting},{food}\n"
    )
    take_in([("answers.csv", export.encode())], by=make_member(), at=AT)


@pytest.mark.parametrize("kind", BAD)
@pytest.mark.parametrize("come", [by_the_form_of_the_office, by_the_typed_grid, by_an_export])
def test_bad_answers_wait_are_named_and_change_no_figure(home, come, kind):
    composting, food, reason = BAD[kind]
    before = composed(home)

    come(home, composting, food)

    after = composed(home)
    answer = Answer.objects.get(household=home)
    assert answer.waits
    assert reason in answer.review_reason
    assert answer.food_as_written == food
    assert after.accounts.period == before.accounts.period
    assert "answers-in-review" not in {one.code for one in before.findings}
    (named,) = [one for one in after.findings if one.code == "answers-in-review"]
    assert named.headline == "1 answer waits in review and is not in the figure."


@pytest.mark.parametrize(
    "said",
    [
        {"composting": "yes", "food_container": "five-gallon-bucket", "food_count": 400, "food_fill": "full"},
        {"composting": "stopped", "food_container": "kitchen-pail", "food_count": 3, "food_fill": "full"},
    ],
)
def test_through_the_link_as_well(home, said):
    """A count below one is refused beside the question; see the tests of the form."""
    invitation = make_invitation(
        household=home, wave=make_wave(months_after=3), opened_at=AT, opened_on=DAY, reminders_sent=0
    )
    before = composed(home)

    answer = answering_by_link.keep(invitation=invitation, said=said, channel="link", at=AT)

    after = composed(home)
    assert answer.waits
    assert after.accounts.period == before.accounts.period
    assert "answers-in-review" in {one.code for one in after.findings}


def test_each_has_its_place_in_review_with_its_reason(home):
    by_an_export(home, "stopped", "3 gallons")
    client = Client()
    client.force_login(make_member(role="coordinator"))

    page = client.get(reverse("answers_review")).content.decode()

    assert "they stopped, yet say &#x27;3 gallons&#x27;" in page
