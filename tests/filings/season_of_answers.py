"""A season of follow-up played day by day: waves, mails to a real server, answers through the form, cards, calls.

What each household does was drawn beforehand; `Season.log` keeps what it said, in plain values, for whoever wants
to work the figures out without any of the site's code.
"""

import datetime
import re
from collections import defaultdict
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np
from django.test import Client
from django.urls import reverse

from outreach.bins.models.handouts import NO_END_DAY
from outreach.followup import postcards, reminding
from outreach.followup.models import Invitation, Wave
from outreach.post import sending
from outreach.post.models import Message
from tests.factories.bins import make_bin_model, make_handout, make_stay
from tests.factories.households import make_household, make_participant

FIRST_DAY, LAST_DAY = datetime.date(2025, 6, 20), datetime.date(2025, 10, 9)
HOUSEHOLDS, BY_MAIL, BY_PHONE = 300, 240, 40
ANSWER_BY_MAIL = 135  # 45 percent of all
CORRECT, ONLY_FIRST_PAGE, ABSURD, MOVE = 10, 15, 2, 10
MONDAY, WEDNESDAY = 0, 2
CALLS_A_DAY = 4
FILLS = {"full": 1.0, "three_quarters": 0.75, "half": 0.5, "quarter": 0.25}
BEFORE = ("trash", "half trash, half green cart", "green cart", "composted")


@dataclass(frozen=True)
class Said:
    """What a household said: containers are (key, how many, how full), None where nothing was chosen."""

    on: datetime.date
    composting: str
    food: tuple[str, int, str] | None = None
    yard: tuple[str, int, str] | None = None
    before: str = ""
    is_absurd: bool = False


@dataclass
class Home:
    """One household, how it is reached, and what it will do."""

    household: object
    family: str
    handed_on: datetime.date
    reached_by: str
    language: str
    moved_on: datetime.date | None = None
    answers_after: int | None = None  # how many reminders it needs; None: it never answers a mail
    delay_days: int = 0
    stops: bool = False
    corrects: bool = False
    only_first_page: bool = False
    is_absurd: bool = False


@dataclass
class Season:
    """The households, the days to come, and what was said so far."""

    g: np.random.Generator
    homes: dict[int, Home]
    log: dict[int, Said] = field(default_factory=dict)
    due: dict[datetime.date, list] = field(default_factory=lambda: defaultdict(list))
    mails_seen: int = 0
    mails_of: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    channels: dict[str, int] = field(default_factory=lambda: defaultdict(int))

    @property
    def by_email(self):
        return {f"home{number}@example.org": home for number, home in self.homes.items()}


def day(number):
    return datetime.timedelta(days=number)


def noon(on):
    return datetime.datetime(on.year, on.month, on.day, 19, tzinfo=datetime.UTC)


def make_season(g, jurisdiction):
    """Three hundred households of two bin families; most got theirs in spring, some in winter, a few in August."""
    models = {family: make_bin_model(family=family) for family in ("mesh", "tumbler")}
    homes = {}
    for number in range(HOUSEHOLDS):
        family = "mesh" if number % 5 < 3 else "tumbler"
        home = _make_home(g, number, jurisdiction, family, models[family])
        homes[home.household.pk] = home
    season = Season(g=g, homes=homes)
    _draw_habits(season)
    return season


def _make_home(g, number, jurisdiction, family, model):
    if number % 6 == 5:
        handed_on = datetime.date(2024, 12, 20) + day(int(g.integers(0, 45)))  # asked after six months
    elif number % 25 == 24:
        handed_on = datetime.date(2025, 8, 1)  # not asked yet when the quarter ends
    else:
        handed_on = datetime.date(2025, 4, 10) + day(int(g.integers(0, 45)))  # asked after three
    language = "es" if number % 3 == 0 else "en"
    home = make_household(
        street=f"{number + 1} Reed Street",
        city_name="Quillby",
        zip_code="00071",
        jurisdiction=jurisdiction,
        composting_before="new",
        language=language,
    )
    reached_by = "email" if number < BY_MAIL else "call" if number < BY_MAIL + BY_PHONE else "letter"
    make_participant(
        household=home,
        full_name=f"Person {number}",
        language=language,
        email=f"home{home.pk}@example.org" if reached_by == "email" else "",
        phone="555-555-0101" if reached_by == "call" else "",
    )
    make_handout(household=home, bin_model=model, handed_on=handed_on)
    make_stay(household=home, family=family, from_day=handed_on.toordinal(), until_day=NO_END_DAY)
    return Home(home, family, handed_on, reached_by, language)


def _draw_habits(season):
    g = season.g
    asked = [one for one in season.homes.values() if one.handed_on < datetime.date(2025, 7, 1)]
    mailed = [one for one in asked if one.reached_by == "email"]
    answering = [mailed[i] for i in g.permutation(len(mailed))[:ANSWER_BY_MAIL]]
    for number, home in enumerate(answering):
        home.answers_after = int(g.choice(3, p=[0.6, 0.25, 0.15]))
        home.delay_days = min(int(g.geometric(0.35)) - 1, 8)
        home.stops = bool(g.random() < 0.12 + 0.06 * home.answers_after)  # the late ones stop more often
        home.corrects = number < CORRECT
        home.only_first_page = CORRECT <= number < CORRECT + ONLY_FIRST_PAGE
        home.is_absurd = CORRECT + ONLY_FIRST_PAGE <= number < CORRECT + ONLY_FIRST_PAGE + ABSURD
        if home.is_absurd:
            home.stops = False
    others = [one for one in asked if one not in answering]
    for home in others:
        home.stops = bool(g.random() < 0.3)
    for home in others[:MOVE]:
        home.moved_on = datetime.date(2025, 8, 5) + day(int(g.integers(0, 40)))


def play(season, mailbox, office, set_now):
    """Every day from the first to the last: the worker, the mail, the residents, and on two days the office."""
    on = FIRST_DAY
    while on <= LAST_DAY:
        set_now(noon(on))
        _move_out(season, office, on)
        reminding.ask_due(noon(on))
        sending.send_due(clock=partial(noon, on))
        _open_mails(season, mailbox, on)
        for act in season.due.pop(on, []):
            act(on)
        if on.weekday() == MONDAY:
            _print_and_mail(season, office, on)
        if on.weekday() == WEDNESDAY:
            _call(season, office, on)
        on += day(1)


def _move_out(season, office, on):
    for number, home in season.homes.items():
        if home.moved_on == on:
            moved = {"on": on.isoformat(), "bin_after": "left_behind"}
            assert office.post(reverse("move_out", args=[number]), moved).status_code == 302


def _open_mails(season, mailbox, on):
    by_email = season.by_email
    for mail in mailbox.received[season.mails_seen :]:
        address = re.search(r"home\d+@example\.org", mail["To"])[0]
        home, number = by_email[address], season.mails_of[address]
        season.mails_of[address] += 1
        if home.answers_after == number:
            link = re.search(r"http\S+/answer/\S+", mail.get_body(("plain",)).get_content())[0]
            _plan(season, on + day(home.delay_days), home, link, "link")
    season.mails_seen = len(mailbox.received)


def _plan(season, on, home, link, channel):
    season.due[on].append(lambda today: _answer(season, home, link, channel, today))


def _answer(season, home, link, channel, on):
    if home.household.pk in season.log:
        return  # told us on the phone meanwhile
    path, _mark, query = ("/" + link.split("/", 3)[3]).partition("?")
    client, ask = Client(), f"?{query}" if query else ""
    said = _what(season, home, on)
    first = client.post(path + ask, _first_page(said))
    if first.status_code != 302:
        return  # the wave has closed, or they moved
    if home.only_first_page:
        said = replace(said, before="")
    else:
        assert client.post(path + "more/" + ask, {"before": said.before}).status_code == 302
    season.log[home.household.pk] = said
    season.channels[channel] += 1
    if home.corrects:
        season.due[on + day(2)].append(lambda today: _correct(season, home, path + ask))


def _correct(season, home, address):
    """Two days later they see that it was one container more."""
    said = season.log[home.household.pk]
    if said.food is None:
        return
    container, count, fill = said.food
    said = replace(said, food=(container, count + 1, fill))
    assert Client().post(address, _first_page(said)).status_code == 302
    season.log[home.household.pk] = said


def _what(season, home, on):
    g = season.g
    before = str(g.choice(BEFORE, p=[0.6, 0.2, 0.15, 0.05]))
    if home.stops:
        return Said(on, "stopped", before=before)
    if home.is_absurd:
        return Said(on, "yes", ("five-gallon-bucket", 40, "full"), None, before, is_absurd=True)
    food = str(g.choice(["quart", "kitchen-pail", "five-gallon-bucket"], p=[0.3, 0.5, 0.2]))
    yard = str(g.choice(["five-gallon-bucket", "paper-yard-bag", "wheelbarrow"], p=[0.5, 0.4, 0.1]))
    return Said(
        on,
        str(g.choice(["yes", "on_and_off"], p=[0.8, 0.2])),
        (food, int(g.integers(1, 4)), str(g.choice(list(FILLS)))),
        (yard, int(g.integers(1, 5)), str(g.choice(list(FILLS)))),
        before,
    )


def _first_page(said):
    values = {"composting": said.composting}
    for name in ("food", "yard"):
        chosen = getattr(said, name)
        if chosen:
            values |= dict(zip((f"{name}_container", f"{name}_count", f"{name}_fill"), chosen, strict=True))
    return values


def _print_and_mail(season, office, on):
    """Postcards of each wave and letters of the outbox; a part of them are answered some days later."""
    for wave in Wave.objects.filter(is_open=True):
        cards = postcards.due(wave, on=on, languages=("en", "es"))
        if not cards:
            continue
        assert office.get(reverse("postcards_pdf", args=[wave.pk]))["Content-Type"] == "application/pdf"
        numbers = [card.invitation.pk for card in cards]
        office.post(reverse("postcards_mailed", args=[wave.pk]), {"card": numbers})
        for card in cards:
            home = season.homes[card.invitation.household_id]
            if season.g.random() < 0.25:
                _plan(season, on + day(int(season.g.integers(3, 10))), home, card.link, "postcard")
    letters = list(Message.objects.letters().queued())
    office.post(reverse("letters_printed"), {"letter": [one.pk for one in letters]})
    for letter in letters:
        if season.g.random() < 0.3:
            invitation = Invitation.objects.get(pk=int(letter.dedupe_key.split(":")[1]))
            link = re.search(r"http\S+/answer/\S+", letter.body)[0]
            home = season.homes[invitation.household_id]
            _plan(season, on + day(int(season.g.integers(3, 8))), home, link, "link")


def _call(season, office, on):
    """The first few of the page that have a phone: no reply, a no for good, or an answer typed into the form."""
    listed = office.get(reverse("call_next")).context["list"].calls
    theirs = [season.homes[one.household.pk] for one in listed]
    for home in [one for one in theirs if one.reached_by == "call" and one.moved_on is None][:CALLS_A_DAY]:
        log = reverse("call_logged", args=[home.household.pk])
        outcome = season.g.random()
        if outcome < 0.5:
            office.post(log, {"reply": "no_reply"})
        elif outcome < 0.6:
            office.post(log, {"reply": "not_to_call"})
        else:
            form = office.post(log, {"reply": "answered"}).url
            said = _what(season, home, on)
            assert office.post(form, _as_typed(said)).status_code == 302
            season.log[home.household.pk] = said
            season.channels["phone"] += 1


def _as_typed(said):
    """What the office types of it, as one says it on the phone."""
    words = {
        "quart": "quart",
        "kitchen-pail": "kitchen pail",
        "five-gallon-bucket": "bucket",
        "paper-yard-bag": "paper bag",
        "wheelbarrow": "wheelbarrow",
    }
    typed = {
        "answered_on": said.on.isoformat(),
        "channel": "phone",
        "composting": said.composting,
        "asked_per": "week",
        "before_as_written": said.before,
    }
    for name, often in (("food", ""), ("yard", " a month")):
        if chosen := getattr(said, name):
            container, count, fill = chosen
            typed[f"{name}_as_written"] = f"{count * FILLS[fill]:g} {words[container]}{often}"
    return typed
