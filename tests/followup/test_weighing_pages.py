"""The pages of weigh-ins and site checks, as people of each role use them."""

import datetime
import io

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from outreach.bins.models import Stay
from outreach.followup.models import Answer, SiteCheck, SiteCheckList, WeighedWeek, WeighIn, WeighInSeason
from outreach.staff.roles import Role
from tests.factories.bins import make_handout, make_stay
from tests.factories.followup import (
    make_site_check,
    make_site_check_list,
    make_weigh_in,
    make_weigh_in_season,
    make_weighed_week,
)
from tests.factories.households import make_household, make_participant

pytestmark = pytest.mark.django_db


def today():
    return timezone.localdate()


def words(answer):
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)


def season_now(**differences):
    return make_weigh_in_season(from_on=today() - datetime.timedelta(days=10), **differences)


def test_a_season_is_added_drawn_and_its_homes_agree(as_coordinator):
    for _ in range(5):
        make_stay(household=make_household())
    sent = {"name": "Spring weighing", "from_on": today(), "weeks": 4}
    as_coordinator.post(reverse("weigh_in_season_add"), sent)
    season = WeighInSeason.objects.get()
    as_coordinator.post(reverse("weigh_in_draw", args=[season.pk]), {"size": 3, "seed": 11})
    homes = list(WeighIn.objects.of_season(season))
    progress = {"reply": "agreed", "replied_on": today(), "scale_out_on": today()}
    as_coordinator.post(reverse("weigh_in_progress", args=[homes[0].pk]), progress)

    page = as_coordinator.get(reverse("weigh_in_season", args=[season.pk])).content.decode()

    assert "3 of 5 households with a bin in use were drawn: 1 agreed, 0 declined" in page
    assert "Seed 11" in page
    assert "Less than half have agreed so far" in page


def test_without_a_seed_one_is_picked_and_kept(as_coordinator):
    make_stay(household=make_household())
    season = season_now()

    as_coordinator.post(reverse("weigh_in_draw", args=[season.pk]), {"size": 1})

    season.refresh_from_db()
    assert season.seed is not None


@pytest.mark.parametrize(
    ("name", "arguments", "sent", "sentence"),
    [
        ("weigh_in_season_add", [], {"name": "", "from_on": "x", "weeks": 99}, "lasts from 1 to 60 weeks"),
        ("weigh_in_draw", ["season"], {"size": 9}, "Only 0 households have a bin in use"),
        ("site_check_draw", [], {"name": "A", "size": 9}, "Only 0 households have a bin in use"),
        ("weigh_in_progress", ["home"], {"reply": "declined"}, "A volunteer has agreed"),
    ],
)
def test_what_is_wrong_is_said_on_the_form(as_coordinator, name, arguments, sent, sentence):
    season = season_now()
    numbers = {"season": season.pk, "home": make_weigh_in(season=season).pk}

    answer = as_coordinator.post(reverse(name, args=[numbers[one] for one in arguments]), sent)

    assert answer.status_code == 422
    assert sentence in answer.content.decode()


def test_a_season_cannot_lose_weeks_that_are_entered(as_coordinator):
    row = make_weighed_week(week=3)
    season = row.weigh_in.season
    sent = {"name": season.name, "from_on": season.from_on, "weeks": 2}

    answer = as_coordinator.post(reverse("weigh_in_season_edit", args=[season.pk]), sent)

    assert "Week 3 is entered already" in answer.content.decode()


def test_a_volunteer_is_found_and_put_on_the_list(as_coordinator):
    person, season = make_participant(full_name="Ada Ueda"), season_now()
    url = reverse("weigh_in_volunteer", args=[season.pk])
    assert "Ada Ueda" in as_coordinator.get(url, {"q": "ueda"}).content.decode()

    as_coordinator.post(url, {"household": person.household_id})

    assert WeighIn.objects.get().is_volunteer
    again = as_coordinator.post(url, {"household": person.household_id})
    assert (again.status_code, "already on the list" in again.content.decode()) == (422, True)


def test_a_volunteer_is_taken_off_but_nobody_who_was_drawn_or_has_weighed(as_coordinator):
    season = season_now(seed=1)
    volunteer, drawn, weighed = (make_weigh_in(season=season, draw_place=place) for place in (None, 1, None))
    make_weighed_week(weigh_in=weighed)

    told = [
        as_coordinator.post(reverse("weigh_in_take_off", args=[home.pk]), follow=True).content.decode()
        for home in (volunteer, drawn, weighed)
    ]

    for words, page in zip(("off the list", "was drawn", "Set them aside"), told, strict=True):
        assert words in page
    assert set(WeighIn.objects.all()) == {drawn, weighed}


def test_the_others_did_not_reply(as_coordinator):
    season = season_now(seed=1)
    replies = ("waiting", "agreed", "waiting", "declined")
    for place, reply in enumerate(replies, start=1):
        make_weigh_in(season=season, draw_place=place, reply=reply)
    url = reverse("weigh_in_no_reply", args=[season.pk])

    page = as_coordinator.post(url, follow=True).content.decode()

    assert "2 households did not reply." in page
    now = WeighIn.objects.of_season(season).values_list("reply", flat=True)
    assert list(now) == ["no_reply", "agreed", "no_reply", "declined"]


def test_weeks_are_saved_one_by_one_in_either_unit(as_coordinator):
    home = make_weigh_in(season=season_now())
    sent = {
        "food-1-reported": "2 gallons", "food-1-weighed": "5 lb",
        "food-2-reported": "10", "food-2-weighed": "",
        "yard-1-reported": "0", "yard-1-weighed": "0",
    }  # fmt: skip

    answer = as_coordinator.post(reverse("weigh_in", args=[home.pk]), sent)

    assert answer.status_code == 422
    assert "Give both what they would have reported" in answer.content.decode()
    rows = WeighedWeek.objects.values_list("week", "material", "reported_ml", "weighed_g")
    assert list(rows) == [(1, "food", 7571, 2268), (1, "yard", 0, 0)]


def test_a_week_on_record_does_not_go_away_by_emptying_it(as_coordinator):
    row = make_weighed_week()
    url = reverse("weigh_in", args=[row.weigh_in_id])

    answer = as_coordinator.post(url, {"food-1-reported": "", "food-1-weighed": ""})

    assert (answer.status_code, "set it aside" in answer.content.decode()) == (422, True)
    assert WeighedWeek.objects.get() == row


def test_saving_again_what_is_on_record_changes_nothing(as_coordinator):
    home = make_weigh_in(season=season_now())
    url = reverse("weigh_in", args=[home.pk])
    as_coordinator.post(url, {"food-1-reported": "2 gallons", "food-1-weighed": "5 lb"})
    row = WeighedWeek.objects.get()

    as_coordinator.post(url, {"food-1-reported": "2 gallons", "food-1-weighed": "2.268"})

    assert WeighedWeek.objects.get().entered_at == row.entered_at


def test_a_doubtful_week_is_looked_at(as_coordinator):
    row = make_weighed_week(review_reason="it weighs more than so much water")
    assert "more than so much water" in as_coordinator.get(reverse("weighed_weeks_review")).content.decode()
    url = reverse("weighed_week_settle", args=[row.pk])

    assert as_coordinator.post(url, {"why": ""}).status_code == 422
    as_coordinator.post(url, {"why": "The pail was full of rain"})
    row.refresh_from_db()
    assert (row.is_set_aside, row.why_set_aside) == (True, "The pail was full of rain")
    as_coordinator.post(url, {"step": "count"})
    row.refresh_from_db()
    assert (row.is_set_aside, row.waits) == (False, False)


def test_sheets_are_printed_in_the_language_of_the_household(as_coordinator):
    season = season_now()
    url = reverse("weigh_in_sheets", args=[season.pk])
    assert as_coordinator.get(url).status_code == 302
    homes = {
        language: make_weigh_in(season=season, household=make_household(language=language))
        for language in ("en", "es", "")
    }

    told = {
        language: words(as_coordinator.get(reverse("weigh_in_sheet", args=[home.pk])))
        for language, home in homes.items()
    }

    assert "What goes into your compost bin, weighed" in told["en"]
    assert "What goes into" not in told["es"]
    assert "compostador" in told["es"].lower() or "compostera" in told["es"].lower()
    assert told["en"].splitlines()[0].startswith(homes["en"].code)
    assert len(PdfReader(io.BytesIO(as_coordinator.get(url).content)).pages) == 4


def test_a_list_is_drawn_printed_and_visited(as_coordinator):
    home = make_handout().household
    make_stay(household=home)
    as_coordinator.post(reverse("site_check_draw"), {"name": "Spring visits", "size": 1, "seed": 4})
    check = SiteCheck.objects.get(list=SiteCheckList.objects.get())
    route = words(as_coordinator.get(reverse("site_check_route", args=[check.list_id])))
    sent = {"outcome": "not_in_use", "checked_on": today(), "seen_by": "Wren Albury"}

    page = as_coordinator.post(reverse("site_check", args=[check.pk]), sent, follow=True).content.decode()

    assert str(home) in route
    assert "The bin counts as not in use from that day on." in page
    assert Stay.objects.get(counted_under=home).until_day == today().toordinal()


def test_the_route_holds_no_answers(as_coordinator):
    listed = make_site_check_list()
    check = make_site_check(list=listed, place=1, outcome="to_visit")
    answers = [str(choice) for choice in Answer.Composting.labels if choice != "yes"]

    route = words(as_coordinator.get(reverse("site_check_route", args=[listed.pk])))

    assert str(check.household) in route
    assert [word for word in answers if word in route] == []


def test_an_answer_at_a_site_check_is_entered_as_one(as_coordinator):
    home = make_household()
    url = reverse("answer_add", args=[home.pk]) + "?channel=site_check&answered_on=2026-03-10"
    page = as_coordinator.get(url).content.decode()
    assert '<option value="site_check" selected>' in page

    sent = {"answered_on": "2026-03-10", "channel": "site_check", "composting": "yes", "asked_per": "week"}
    as_coordinator.post(url, sent)

    assert Answer.objects.get().get_channel_display() == "at a site check"


def test_the_crew_visits_but_reads_no_comparison(as_role):
    listed = make_site_check_list()
    check = make_site_check(list=listed, place=1)
    crew = as_role(Role.DOOR_CREW)

    assert "They had said" not in crew.get(reverse("site_checks")).content.decode()
    assert crew.get(reverse("site_check", args=[check.pk])).status_code == 200
    assert crew.get(reverse("weigh_ins")).status_code == 403
    assert crew.get(reverse("site_check_draw")).status_code == 403
    assert "They had said" in as_role(Role.CITY_ANALYST).get(reverse("site_checks")).content.decode()


def _many(count, listed, season):
    for _ in range(count):
        place = SiteCheck.objects.count() + 1
        make_site_check(list=listed, place=place)
        home = make_weigh_in(season=season, draw_place=place)
        make_weighed_week(weigh_in=home, review_reason="odd")


def test_more_rows_need_no_more_queries(as_coordinator):
    listed, season = make_site_check_list(), season_now(seed=1)
    pages = [
        reverse("weigh_ins"),
        reverse("weigh_in_season", args=[season.pk]),
        reverse("weighed_weeks_review"),
        reverse("site_checks"),
        reverse("site_check_list", args=[listed.pk]),
    ]
    _many(2, listed, season)
    few = [_queries(as_coordinator, page) for page in pages]
    _many(6, listed, season)

    assert [_queries(as_coordinator, page) for page in pages] == few


def _queries(client, page):
    with CaptureQueriesContext(connection) as counted:
        assert client.get(page).status_code == 200
    return len(counted)
