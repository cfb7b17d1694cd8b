"""The pages behind the link: kind when it is too late, the same for every stranger, in both languages."""

import datetime
import re
from pathlib import Path

import pytest
from django.test import Client
from django.utils import timezone, translation
from django.utils.translation import gettext

from outreach.coaching import answer_links
from outreach.followup import invitation_links, reviewing
from outreach.followup.answer_reading import AnswerAsGiven
from outreach.followup.models import Answer, Invitation, Wave
from outreach.households import merging
from outreach.post import links
from tests.factories.households import make_household
from tests.followup.by_link import current, path_of, post

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


def test_after_the_last_day_the_page_says_so_kindly(link, invitation):
    Invitation.objects.update(
        opened_on=datetime.date(2025, 1, 1), closes_on=timezone.localdate() - datetime.timedelta(days=1)
    )

    for answer in (Client().get(link), post(link, composting="yes")):
        assert answer.status_code == 410
        assert "Nothing to answer just now" in answer.content.decode()
    assert Answer.objects.count() == 0


def test_nothing_is_taken_for_a_wave_that_is_closed_or_a_household_that_moved(link, invitation):
    Wave.objects.update(is_open=False)
    assert post(link, composting="yes").status_code == 410

    Wave.objects.update(is_open=True)
    invitation.household.ended_on, invitation.household.bin_after_move = timezone.localdate(), "came_along"
    invitation.household.save()
    assert post(link, composting="yes").status_code == 410


def strangers(invitation):
    made_up = links.make("answer", {"invitation": invitation.pk + 999})
    other_purpose = links.make("consent", {"invitation": invitation.pk})
    own = links.make("answer", {"invitation": invitation.pk})
    return ["nonsense", made_up, other_purpose, own[:-1] + ("A" if own[-1] != "A" else "B"), own[:-4]]


def test_a_stranger_is_told_the_same_whether_somebody_takes_part_or_not(invitation):
    pages = {token: Client().get(f"/answer/{token}/") for token in strangers(invitation)}

    assert {page.status_code for page in pages.values()} == {404}
    told = {page.content.decode().replace(token, "") for token, page in pages.items()}
    assert len({text.split("<main")[1] for text in told}) == 1


def test_no_page_names_anybody_or_any_address(link):
    post(link, composting="yes")
    told = "".join(
        Client().get(link.rstrip("/") + page).content.decode() for page in ("/", "/more/", "/kept/")
    )

    for secret in ("Ada", "Holm", "Reed Street", "ada@example.org"):
        assert secret not in told


def test_pages_are_kept_by_nobody_and_found_by_no_engine(link):
    page = Client().get(link)

    assert page["Cache-Control"] == "private, no-store"
    assert page["X-Robots-Tag"] == "noindex"


def test_an_answer_from_the_postcard_says_that_it_came_so(invitation):
    post(path_of(invitation_links.on_postcard(invitation)), composting="yes")

    assert current().channel == "postcard"


def test_the_standing_link_opens_what_is_asked_that_day(invitation):
    home = invitation.household
    link = path_of(answer_links.link_for(home))

    assert Client().get(link).status_code == 200
    assert post(link, composting="yes").status_code == 302
    assert current().wave == invitation.wave

    Invitation.objects.update(closes_on=datetime.date(2020, 1, 2), opened_on=datetime.date(2020, 1, 1))
    assert "Nothing to answer just now" in Client().get(link).content.decode()


def test_a_link_of_a_merged_record_answers_for_the_household(invitation, link, coordinator):
    root = make_household()
    merging.merge(
        kept=root, absorbed=invitation.household, by=coordinator, at=timezone.now(), reason="The same door"
    )

    post(link, composting="yes")

    assert (current().household, current().counted_under) == (invitation.household, root)


def test_what_the_office_worked_on_is_not_overwritten(link, coordinator):
    post(link, composting="yes", food_container="five-gallon-bucket", food_count="40")
    reviewing.settle_review(answer=current(), outcome="set_aside", by=coordinator, at=timezone.now())

    answered = post(link, composting="yes", food_container="five-gallon-bucket", food_count="1")

    assert answered.status_code == 422
    assert "tell the office" in answered.content.decode()
    assert Answer.objects.count() == 1


def test_the_office_correcting_an_answer_loses_nothing_it_does_not_show(link, coordinator):
    post(link, composting="yes")
    post(link, "more/", browns_container="five-gallon-bucket", browns_count="1")
    old = current()
    given = AnswerAsGiven(
        household=old.household, answered_on=old.answered_on, composting="yes", channel="link"
    )

    new = reviewing.correct_answer(answer=old, given=given, by=coordinator, at=timezone.now())

    assert (new.browns_ml_per_week, new.reminders) == (old.browns_ml_per_week, 1)


SPOKEN = [
    *sorted((ROOT / "templates" / "followup" / "by_link").glob("*.html")),
    *(ROOT / "outreach" / "followup" / name for name in ("link_forms.py", "offered_containers.py")),
]


def words_in(path):
    """What a file says to a resident, as the catalogue names it."""
    text = path.read_text(encoding="utf-8")
    said = re.findall(r"""{% translate "([^"]+)" %}|_\(\s*"((?:[^"\\]|\\.)*)"\s*\)""", text)
    blocks = re.findall(r"{% blocktranslate[^%]*%}(.*?){% endblocktranslate %}", text, re.DOTALL)
    return {one or other for one, other in said} | {
        re.sub(r"{{ (\w+) }}", r"%(\1)s", " ".join(block.split())) for block in blocks
    }


@pytest.mark.parametrize("path", SPOKEN, ids=lambda path: path.name)
def test_every_word_for_residents_is_there_in_spanish(path):
    with translation.override("es"):
        missing = {words for words in words_in(path) if gettext(words) == words}

    assert missing == set()


def test_words_are_found_in_templates_and_modules():
    found = set().union(*map(words_in, SPOKEN))

    assert {"How many", "wheelbarrow", "Page 1 of 2", "Since about when?"} <= found
    assert "You can correct it under the same link until %(until)s." in found


def test_the_mailed_link_is_in_the_language_of_its_reader(invitation):
    link = path_of(invitation_links.mailed(invitation, "es"))

    page = Client().get(link).content.decode()

    assert '<html lang="es">' in page
    assert "¿Cómo va su compostera?" in page
    assert "language=es" in post(link, composting="yes").url
