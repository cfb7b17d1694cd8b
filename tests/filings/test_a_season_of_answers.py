"""A season end to end: 300 households asked by mail, postcard and phone; the quarter's figures worked out anew."""

import datetime

import numpy as np
import pytest
from aiosmtpd.controller import Controller
from django.utils import timezone

from diversion.inputs import Quarter
from outreach.filings import composing, periods
from outreach.filings.gathering import Scope
from outreach.followup.models import Answer, Invitation, Wave
from outreach.post.models import Message
from tests.factories.places import make_jurisdiction
from tests.filings import season_of_answers, sums_in_plain_python
from tests.post.conftest import Mailbox, free_port

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

FIRST, AFTER = datetime.date(2025, 7, 1), datetime.date(2025, 10, 1)
CUT_OFF = season_of_answers.LAST_DAY
SEED = 20250620
FROM_THE_METHOD = 100  # so many answers about the quarter itself tell of its yard trimmings by themselves


@pytest.fixture
def mailbox(settings):
    box = Mailbox(port=free_port())
    server = Controller(box, hostname="127.0.0.1", port=box.port)
    server.start()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", box.port
    settings.PUBLIC_URL = "https://compost.example.org"
    yield box
    server.stop()


@pytest.fixture
def season(mailbox, as_coordinator, monkeypatch):
    now = []
    monkeypatch.setattr(timezone, "now", lambda: now[-1])
    now.append(season_of_answers.noon(season_of_answers.FIRST_DAY))
    jurisdiction = make_jurisdiction(name="Quillby")
    season = season_of_answers.make_season(np.random.default_rng(SEED), jurisdiction)
    season_of_answers.play(season, mailbox, as_coordinator, now.append)
    season.jurisdiction = jurisdiction
    return season


def test_a_season_of_answers_and_its_figures(season, mailbox):
    _waves_opened_by_date(season)
    _answers_are_what_was_said(season)
    _nobody_was_bothered(mailbox)
    _figures_are_those_worked_out_anew(season)


def _waves_opened_by_date(season):
    asked = Invitation.objects.all()
    months = {one.household_id: one.wave.months_after for one in asked.select_related("wave")}

    for number, home in season.homes.items():
        if home.handed_on == datetime.date(2025, 8, 1):
            assert number not in months
        else:
            assert months[number] == (6 if home.handed_on < datetime.date(2025, 3, 1) else 3)
    assert Wave.objects.get(months_after=3).days_open == 42


def _answers_are_what_was_said(season):
    current = {one.household_id: one for one in Answer.objects.current()}

    assert current.keys() == season.log.keys()
    assert {number: one.composting for number, one in current.items()} == {
        number: said.composting for number, said in season.log.items()
    }
    by_mail = [one for number, one in current.items() if season.homes[number].answers_after is not None]
    assert len([one for one in by_mail if one.channel == "link"]) >= season_of_answers.ANSWER_BY_MAIL - 5
    for one in by_mail:
        if one.channel == "link":
            assert one.reminders == season.homes[one.household_id].answers_after
    assert {one.channel for one in current.values()} == {"link", "postcard", "phone"}
    assert all(season.channels[channel] >= 5 for channel in ("postcard", "phone"))
    waiting = {number for number, one in current.items() if one.waits}
    assert waiting == {number for number, said in season.log.items() if said.is_absurd} != set()
    assert Answer.objects.corrected().count() >= season_of_answers.CORRECT


def _nobody_was_bothered(mailbox):
    """At most the questions and two reminders to each, and no reminder once an answer was there."""
    to = [mail["To"] for mail in mailbox.received]
    answered_on = dict(Answer.objects.current().values_list("household", "answered_on"))

    assert max(map(to.count, set(to))) <= 3
    assert len(to) > 300
    for reminder in Message.objects.filter(kind="followup.reminder", state="sent"):
        invitation = Invitation.objects.get(pk=int(reminder.dedupe_key.split(":")[1]))
        day = answered_on.get(invitation.household_id)
        assert day is None or timezone.localdate(reminder.settled_at) <= day


def _figures_are_those_worked_out_anew(season):
    cut = CUT_OFF + datetime.timedelta(days=1)
    rows = sums_in_plain_python.rows_of(season.homes, season.log, first=FIRST, after=AFTER, cut=cut)
    rate = sums_in_plain_python.quitting_rate(season.homes, season.log, cut=cut)
    expected = sums_in_plain_python.figures(rows, rate)
    assert sum(row.is_about_the_quarter for row in rows) >= FROM_THE_METHOD
    assert len({row.stratum for row in rows}) == 4

    occasion = composing.compose(
        periods.calendar_quarter(Quarter(year=2025, quarter=3)),
        scope=Scope(jurisdiction=season.jurisdiction),
        cut_off=CUT_OFF,
        choices={},
    )
    period = composing.report_of(occasion).account["period"]

    counts = period["counts"][-1]
    assert counts["households"] == len(rows)
    assert counts["answers"] == sum(row.answer is not None for row in rows)
    assert counts["unasked_households"] == sum(row.is_unasked for row in rows) > 0
    compared = set()
    for figure in period["figures"]:
        name, stream = figure["name"], figure["stream"]
        if name in ("gross", "landfill_bound") and stream in expected:
            paper = expected[stream][name]
            assert figure["alike"]["value"] == pytest.approx(paper["alike"], rel=1e-6), (name, stream)
            assert figure["headline"]["value"] == pytest.approx(paper["headline"], rel=1e-6), (name, stream)
            assert figure["nothing"] == pytest.approx(paper["nothing"], rel=1e-6), (name, stream)
            compared.add((name, stream))
    assert len(compared) == 4
