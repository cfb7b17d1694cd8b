"""What a household answers through its link: kept in parts, corrected, read as paperwork is, open to nobody else."""

import datetime
from pathlib import Path

import pytest
from django.test import Client
from django.utils import timezone

from diversion.materials import Material
from diversion.quantities import STANDARD, Period, read_amount
from outreach.coaching.models import HelpRequest
from outreach.followup import answering, offered_containers
from outreach.followup.answer_reading import AnswerAsGiven
from outreach.followup.models import Answer, OwnContainer
from outreach.followup.offered_containers import FILLS, as_words, offered
from tests.followup.by_link import current, post

ROOT = Path(__file__).resolve().parents[2]
pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

# US gallons, cubic feet and their litres by definition (NIST Handbook 44, appendix C); the containers hold 1, 5,
# 30 and 32 gallons and six cubic feet as their names say.
GALLON, CUBIC_FOOT = 3.785411784, 28.316846592
LITRES = {
    "quart": GALLON / 4,
    "kitchen-pail": GALLON,
    "five-gallon-bucket": 5 * GALLON,
    "paper-yard-bag": 30 * GALLON,
    "barrel": 32 * GALLON,
    "wheelbarrow": 6 * CUBIC_FOOT,
}
# A mean month is a twelfth of 365.2425 days.
WEEKS_A_MONTH = 365.2425 / 12 / 7


@pytest.mark.parametrize("material", [Material.FOOD, Material.YARD, Material.BROWNS])
@pytest.mark.parametrize("fill", FILLS)
@pytest.mark.parametrize("count", [1, 2, 7])
def test_every_picture_is_read_as_its_size(material, fill, count):
    for one in offered_containers.STANDARD[material]:
        said = {f"{material}_container": one.key, f"{material}_count": count, f"{material}_fill": fill}

        amount = read_amount(
            as_words(said, material), material=material, per=Period.WEEK, containers=STANDARD
        )

        litres = (
            LITRES[one.key] * count * {"full": 1, "three_quarters": 0.75, "half": 0.5, "quarter": 0.25}[fill]
        )
        weeks = WEEKS_A_MONTH if material is Material.YARD else 1
        assert amount.millilitres_per_week == pytest.approx(litres * 1000 / weeks, abs=1)


def test_own_containers_are_offered_and_read():
    own = OwnContainer.objects.create(name="Green caddy", name_key="green caddy", ml=7000)
    said = {"food_container": f"own-{own.pk}", "food_count": 3, "food_fill": "half"}

    amount = read_amount(
        as_words(said, Material.FOOD),
        material=Material.FOOD,
        per=Period.WEEK,
        containers=OwnContainer.objects.table(),
    )

    assert [one.name for one in offered(Material.FOOD)][-1] == "Green caddy"
    assert amount.millilitres_per_week == 10_500


def test_the_first_page_alone_is_an_answer(link, invitation, today):
    answered = post(
        link,
        composting="on_and_off",
        food_container="five-gallon-bucket",
        food_count="2",
        food_fill="half",
        yard_container="paper-yard-bag",
        yard_count="3",
        yard_fill="full",
    )

    assert answered.status_code == 302
    answer = current()
    assert (answer.channel, answer.answered_on, answer.reminders) == ("link", today, 1)
    assert (answer.composting, answer.wave, answer.entered_by) == ("on_and_off", invitation.wave, None)
    assert answer.food_ml_per_week == pytest.approx(5 * GALLON * 1000, abs=1)
    assert answer.yard_ml_per_week == pytest.approx(3 * 30 * GALLON * 1000 / WEEKS_A_MONTH, abs=1)
    assert answer.review_reason == ""
    invitation.refresh_from_db()
    assert (invitation.settled_because, invitation.answer) == ("answered", answer)


def test_only_the_first_question_is_required(link):
    assert post(link, food_container="quart").status_code == 422
    assert Answer.objects.count() == 0

    assert post(link, composting="yes").status_code == 302
    assert (current().food_ml_per_week, current().review_reason) == (None, "")


def test_the_second_page_adds_to_the_first(link, django_capture_on_commit_callbacks):
    post(link, composting="yes", food_container="kitchen-pail", food_count="2", food_fill="full")

    with django_capture_on_commit_callbacks(execute=True):
        answered = post(
            link,
            "more/",
            browns_container="five-gallon-bucket",
            browns_count="1",
            before="half trash, half green cart",
            harvested="a bucket, for the roses",
            problems="It smells",
            wants_help="on",
            line="We like it",
        )

    assert answered.status_code == 302
    answer = current()
    assert answer.food_ml_per_week == pytest.approx(2 * GALLON * 1000, abs=1)
    assert answer.browns_ml_per_week == pytest.approx(5 * GALLON * 1000, abs=1)
    assert (answer.food_trash_percent, answer.food_composted_percent) == (50, 50)
    assert (answer.problems, answer.wants_help) == ("It smells", True)
    assert (answer.harvested, answer.remarks) == ("a bucket, for the roses", "We like it")
    assert (answer.reminders, answer.corrects.composting) == (1, "yes")
    assert HelpRequest.objects.get().own_words == "It smells"


def test_help_is_asked_for_once_however_often_it_is_corrected(link, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        post(link, composting="yes")
        post(link, "more/", wants_help="on", problems="It smells")
        post(link, "more/", wants_help="on", problems="It smells of ammonia")

    assert HelpRequest.objects.count() == 1
    assert Answer.objects.count() == 3


def test_a_correction_takes_the_place_of_what_was_said(link, invitation):
    post(link, composting="yes", food_container="kitchen-pail", food_count="9", food_fill="full")
    shown = Client().get(link).content.decode()

    post(link, composting="yes", food_container="kitchen-pail", food_count="1", food_fill="full")

    assert 'value="9"' in shown
    assert "You can correct it until" in shown
    assert current().food_ml_per_week == pytest.approx(GALLON * 1000, abs=1)
    assert Answer.objects.corrected().count() == 1
    assert current().in_force_from_day > 0


def test_the_same_again_changes_nothing(link):
    for _time in range(3):
        post(link, composting="yes", food_container="quart", food_count="1", food_fill="full")

    assert Answer.objects.count() == 1


def test_whoever_stopped_composts_nothing_and_says_when(link, today):
    post(link, composting="stopped", stopped_on=today - datetime.timedelta(days=9), why_stopped="Ants")

    answer = current()
    assert (answer.food_ml_per_week, answer.yard_ml_per_week, answer.review_reason) == (0, 0, "")
    assert (answer.stopped_on, answer.why_stopped) == (today - datetime.timedelta(days=9), "Ants")


def test_what_was_typed_for_having_stopped_goes_with_it(link, today):
    post(link, composting="stopped", stopped_on=today, why_stopped="Ants")
    post(link, composting="yes", stopped_on=today, why_stopped="Ants")

    assert (current().stopped_on, current().why_stopped, current().review_reason) == (None, "", "")


@pytest.mark.parametrize(
    ("said", "doubt"),
    [
        ({"composting": "stopped", "food_container": "quart", "food_count": "1"}, "they stopped, yet say"),
        ({"composting": "yes", "food_container": "five-gallon-bucket", "food_count": "40"}, "plausibly"),
        ({"composting": "yes", "food_container": "five-gallon-bucket", "food_count": "999"}, "plausibly"),
        ({"composting": "stopped", "stopped_on": "2999-01-01"}, "only after the day of the answer"),
    ],
)
def test_contradictions_and_absurd_amounts_wait_for_a_person(link, said, doubt):
    assert post(link, **said).status_code == 302

    assert doubt in current().review_reason
    assert current().in_force_from_day == 0


@pytest.mark.parametrize(
    "said",
    [
        {"composting": "perhaps"},
        {"composting": "yes", "food_container": "truck"},
        {"composting": "yes", "food_container": "quart", "food_count": "-1"},
        {"composting": "yes", "food_count": "3"},
        {"composting": "stopped", "stopped_on": "last spring"},
    ],
)
def test_what_cannot_be_is_said_beside_the_question_and_keeps_nothing(link, said):
    answered = post(link, **said)

    assert answered.status_code == 422
    assert 'class="problem"' in answered.content.decode() or "<li>" in answered.content.decode()
    assert Answer.objects.count() == 0


def test_where_it_went_before_is_asked_once_and_remembered(link, invitation, today):
    home = invitation.household
    given = AnswerAsGiven(
        household=home,
        answered_on=today - datetime.timedelta(days=60),
        composting="yes",
        channel="paper",
        before_text="trash",
    )
    answering.record_answer(given=given, by=None, at=timezone.now())

    post(link, composting="yes")

    assert 'name="before"' not in Client().get(link.rstrip("/") + "/more/").content.decode()
    assert invitation.wave.months_after == 3
    latest = Answer.objects.current().get(channel="link")
    assert (latest.food_trash_percent, latest.before_as_written) == (100, "trash")


def test_what_was_said_of_before_in_this_form_can_be_taken_back(link):
    post(link, composting="yes")
    post(link, "more/", before="trash")
    assert 'name="before"' in Client().get(link.rstrip("/") + "/more/").content.decode()

    post(link, "more/", before="")

    assert current().food_trash_percent is None


def test_the_second_page_leads_to_the_first_where_that_is_empty(link):
    assert post(link, "more/", line="Hello").url == link
    assert Answer.objects.count() == 0
