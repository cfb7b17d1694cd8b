"""Whoever may not be asked is not asked in any way; each way of saying so keeps the words that stood beside it."""

import datetime
import hashlib

import pytest
from django.core.exceptions import ValidationError
from django.test import Client
from django.urls import reverse
from django.utils import timezone, translation

from outreach.followup import asking_messages, invitees, opening, site_checking, weighing
from outreach.followup.drawing_homes import homes_with_a_bin
from outreach.followup.models import Invitation
from outreach.households import consent, consent_words
from outreach.households.consent_models import Consent
from outreach.post import kinds
from outreach.post.models import Message
from outreach.workshops.sign_up_form import SignUpForm
from tests.factories.bins import make_stay
from tests.factories.followup import make_weigh_in_season
from tests.factories.households import make_household
from tests.factories.staff import make_member
from tests.followup.by_link import current, post

pytestmark = pytest.mark.django_db

DIGESTS = {1: "0ba164cf"}


def said_no(household, at=None):
    consent.say(
        household=household,
        purpose="follow_up",
        is_given=False,
        how="link",
        at=at or timezone.now(),
    )


def digest(version):
    words = consent_words.FOLLOW_UP[version]
    return hashlib.sha256("\n".join(words[code] for code in ("en", "es")).encode()).hexdigest()[:8]


def test_no_version_of_the_words_is_ever_changed():
    assert {version: digest(version) for version in consent_words.FOLLOW_UP} == DIGESTS


@pytest.mark.parametrize("language", ["en", "es"])
def test_what_forms_show_are_the_words_on_record(language):
    with translation.override(language):
        shown = str(SignUpForm.base_fields["consents_to_follow_up"].label)

    assert shown == consent_words.FOLLOW_UP[consent_words.CURRENT][language]


def test_every_kind_of_message_of_follow_up_is_under_consent():
    ours = {kind.key for kind in kinds.all_kinds() if kind.key.startswith("followup.")}

    assert ours == {asking_messages.INVITATION, asking_messages.REMINDER}
    assert ours <= consent.kinds_of("follow_up")


@pytest.mark.parametrize("kind", [asking_messages.INVITATION, asking_messages.REMINDER])
def test_a_no_takes_back_what_waits_of_each_kind(invitation, kind):
    to = invitees.addressee(invitation.household)
    send = asking_messages.ask if kind == asking_messages.INVITATION else asking_messages.remind
    message = send(invitation, to, timezone.now())
    assert message.is_waiting

    said_no(invitation.household)

    message.refresh_from_db()
    assert (message.kind, message.state) == (kind, Message.State.WITHDRAWN)


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_form_asks_it_in_the_words_and_keeps_which(link, invitation, language):
    post(link, composting="yes")
    page = Client().get(f"{link}more/?language={language}").content.decode()
    assert consent_words.FOLLOW_UP[consent_words.CURRENT][language] in page

    post(link, "more/", may_ask="no", line="We like it")

    said = Consent.objects.get()
    assert (said.is_given, said.how, said.words_version) == (False, "answer", consent_words.CURRENT)
    assert current().remarks == "We like it"
    invitation.refresh_from_db()
    assert "may_ask" not in invitation.said


def test_left_open_it_says_nothing_and_yes_is_kept_once(link):
    post(link, composting="yes")
    post(link, "more/", line="We like it")
    assert not Consent.objects.exists()

    post(link, "more/", line="We like it", may_ask="yes")
    post(link, "more/", line="We like it", may_ask="yes")

    assert [one.is_given for one in Consent.objects.all()] == [True]


def test_what_was_said_before_stands_chosen_and_can_be_changed(link, invitation):
    said_no(invitation.household)
    post(link, composting="yes")

    shown = Client().get(f"{link}more/").content.decode()
    post(link, "more/", may_ask="yes")

    chosen = shown.split('value="no"')[1].split(">")[0]
    assert "checked" in chosen
    assert consent.may_ask(invitation.household, "follow_up")


def test_the_link_keeps_the_version_too(invitation):
    address = consent.path_of(invitation.household, "follow_up")

    Client().post(address)

    assert Consent.objects.get().words_version == consent_words.CURRENT


def test_the_page_of_the_household_says_beside_which_words(invitation, as_coordinator):
    said_no(invitation.household)

    page = as_coordinator.get(reverse("household", args=[invitation.household_id])).content.decode()

    assert "Beside the words “You may ask us later how the composting goes”, version 1." in page


def test_whoever_told_the_office_saw_none_of_our_words(invitation, as_coordinator):
    as_coordinator.post(reverse("consent_told", args=[invitation.household_id]), {"may_be_asked": "no"})

    said = Consent.objects.get()
    assert (said.how, said.words_version) == ("office", None)
    said.pk, said.words_version = None, 1
    with pytest.raises(ValidationError, match="none of our words"):
        said.full_clean()


def test_what_a_device_tells_late_does_not_take_the_place_of_what_was_said_since(invitation):
    home, now = invitation.household, timezone.now()
    consent.say(household=home, purpose="follow_up", is_given=True, how="link", at=now)
    message = Message.objects.filter(kind=asking_messages.INVITATION).first()

    earlier = now - datetime.timedelta(days=1)
    consent.note_door(household=home, is_given=False, words=1, at=earlier)

    assert consent.may_ask(home, "follow_up")
    assert message is None or message.is_waiting
    assert Consent.objects.get(how="door").said_at == earlier


class TestDraws:
    @pytest.fixture
    def homes(self):
        homes = [make_household() for _number in range(4)]
        for home in homes:
            make_stay(household=home)
        said_no(homes[0])
        return homes

    @pytest.fixture
    def act(self):
        return weighing.Act(by=make_member(), at=timezone.now())

    def test_whoever_is_asked_no_more_is_not_drawn_from(self, homes, act):
        numbers = {home.number for home in homes_with_a_bin(on=act.on)}

        assert numbers == {home.pk for home in homes[1:]}

    def test_weigh_ins_and_site_checks_draw_from_the_others(self, homes, act):
        season = make_weigh_in_season(from_on=act.on, weeks=4)
        drawn = weighing.draw_recruits(season=season, size=3, seed=7, act=act)
        visits = site_checking.draw_list(name="Spring", jurisdiction=None, size=3, seed=7, act=act)

        season.refresh_from_db()
        assert homes[0].pk not in {one.household_id for one in drawn}
        assert (season.drawn_from, visits.drawn_from) == (3, 3)
        with pytest.raises(ValidationError, match="Only 3 households"):
            site_checking.draw_list(name="More", jurisdiction=None, size=4, seed=7, act=act)


def test_nobody_is_invited_who_said_no(invitation):
    Invitation.objects.all().delete()
    said_no(invitation.household)

    assert opening.open_due(timezone.now()) == 0
