"""The pages on which retention is set and done, the list of holds, what Season and the sign-up page say."""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from outreach.households import holding_back, retention, retention_news
from outreach.households.retention_models import RetentionSchedule
from outreach.site.season_facts import season_facts
from outreach.staff.roles import Role
from tests.factories.households import make_household, make_participant
from tests.factories.staff import make_member
from tests.factories.workshops import make_workshop

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def own_folder(settings, tmp_path):
    settings.VAR = tmp_path


def home_of_long_ago(name="Ada Holm"):
    return make_participant(
        full_name=name, household=make_household(began_on=date(2015, 1, 1)), first_seen_on=date(2015, 1, 1)
    )


def keep_for(after_use, at=None):
    return retention.set_schedule(
        months_after_use=after_use, months_in_use=None, by=make_member(), at=at or timezone.now()
    )


def words(response):
    return " ".join(response.content.decode().split())


def test_what_it_would_drop_is_shown_before_it_is_set(as_role):
    home_of_long_ago()
    admin = as_role(Role.ADMINISTRATOR)
    months = {"months_after_use": 24, "months_in_use": ""}

    looked = words(admin.get(reverse("retention_set"), months))
    assert "Households that would go today</dt><dd>1</dd>" in looked
    assert not RetentionSchedule.objects.exists()

    admin.post(reverse("retention_set"), months)
    assert not RetentionSchedule.objects.exists()

    answer = admin.post(reverse("retention_set"), {**months, "understood": "on"})
    assert answer.url == reverse("retention")
    assert retention.schedule().months_after_use == 24
    assert "24 months" in words(admin.get(answer.url))


def test_months_that_make_no_sense_are_said_at_the_field_and_set_nothing(as_role):
    admin = as_role(Role.ADMINISTRATOR)

    answer = admin.post(reverse("retention_set"), {"months_after_use": 0, "understood": "on"})

    assert answer.status_code == 422
    assert "from 1 to 240" in words(answer)
    assert not RetentionSchedule.objects.exists()


def test_only_an_administrator_sets_it_and_removes_by_hand(as_coordinator):
    keep_for(24)

    for name in ("retention_set", "retention_do"):
        assert as_coordinator.post(reverse(name), {"understood": "on"}).status_code == 403
    page = words(as_coordinator.get(reverse("retention")))
    assert "24 months" in page
    assert reverse("retention_set") not in page


def test_by_hand_it_is_done_once_someone_means_it(as_role):
    ada = home_of_long_ago()
    keep_for(24)
    admin = as_role(Role.ADMINISTRATOR)

    admin.post(reverse("retention_do"), {})
    ada.refresh_from_db()
    assert ada.full_name == "Ada Holm"

    admin.post(reverse("retention_do"), {"understood": "on"})
    ada.refresh_from_db()
    assert ada.full_name == f"forgotten {ada.pk}"


def test_holds_are_listed_with_those_past_their_date_first(as_coordinator, coordinator):
    at = timezone.now()
    keep_for(24)
    young = make_household(street="9 Fern Way", began_on=timezone.localdate(at))
    for household, days in ((young, 10), (home_of_long_ago().household, 90)):
        until = timezone.localdate(at) + timedelta(days=days)
        holding_back.hold(household=household, reason="An audit", until_on=until, by=coordinator, at=at)

    page = words(as_coordinator.get(reverse("holds")))

    assert page.index("Alder Street") < page.index("9 Fern Way")
    assert page.count("An audit") == 2
    assert retention.forget_due(at=at).held == 1
    points = {one.words: one.url for one in season_facts(on=timezone.localdate(at), at=at).waiting}
    assert points["1 households held past their retention date"] == reverse("holds")


def test_season_says_that_it_was_not_set_or_not_done():
    at = datetime(2026, 6, 1, 18, tzinfo=UTC)
    assert retention_news.not_done(at) == ""

    home_of_long_ago()
    assert retention_news.not_done(at) == "nobody has set how long contact data is kept"

    keep_for(240, at=at)
    assert retention_news.not_done(at + timedelta(days=30)) == ""
    assert retention_news.not_done(at + timedelta(days=32)) == "the retention dates were never looked at"

    retention.forget_due(at=at + timedelta(days=33))
    assert retention_news.not_done(at + timedelta(days=60)) == ""
    assert retention_news.not_done(at + timedelta(days=65)).endswith("last looked at on 4 July 2026")


@pytest.mark.parametrize(
    ("language", "sentence", "unset"),
    [
        (
            "en",
            "We remove them 30 months after your bin was last in use",
            "as long as the programme must show",
        ),
        ("es", "Los borramos 30 meses después", "mientras el programa deba mostrar"),
    ],
)
def test_the_sign_up_page_says_how_long_from_what_was_set(client, language, sentence, unset):
    workshop = make_workshop(
        held_on=timezone.localdate() + timedelta(days=20), starts_at_time=time(10), is_public=True
    )
    address = f"{reverse('sign_up', args=[workshop.pk])}?language={language}"

    assert unset in words(client.get(address))

    keep_for(30)
    assert sentence in words(client.get(address))
