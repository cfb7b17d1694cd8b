"""Each thing that would over-claim is raised by records that hold it, and by none that do not, up to the draft."""

import datetime
from dataclasses import replace

import pytest

from diversion import account, factors
from diversion.findings import Finding
from diversion.inputs import MethodSettings, Quarter
from outreach.bins import excepting
from outreach.bins.models import Handout, RuleException
from outreach.filings import claims, composing, method, periods
from outreach.filings.gathering import Scope
from outreach.followup.models import Answer
from outreach.households import merging
from outreach.households.models import Household
from outreach.places.models import Jurisdiction
from outreach.workshops.models import Booking
from tests.factories.bins import make_exception, make_handout, make_order
from tests.factories.funding import make_funding_source
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member
from tests.factories.workshops import make_booking, make_workshop
from tests.filings.programmes import HELD_ON, programme
from tests.filings.test_pages import begin, latest_offered

pytestmark = pytest.mark.django_db
QUARTER = Quarter(year=2025, quarter=2)
DAY = datetime.date(2025, 5, 9)
AT = datetime.datetime(2025, 5, 9, 18, tzinfo=datetime.UTC)


def composed(jurisdiction, **choices):
    period = periods.calendar_quarter(QUARTER)
    scope = Scope(jurisdiction=jurisdiction)
    return composing.compose(period, scope=scope, cut_off=datetime.date(2025, 8, 14), choices=choices)


def codes(jurisdiction) -> set[str]:
    return {one.code for one in composed(jurisdiction).findings}


def found(jurisdiction, code) -> Finding | None:
    return next((one for one in composed(jurisdiction).findings if one.code == code), None)


def test_an_exception_that_nobody_gave_a_reason_is_named_until_somebody_does():
    jurisdiction = programme()
    household = Household.objects.first()
    make_handout(
        household=household, handed_on=DAY, slot=None, slots=None, allowance="", exception=make_exception()
    )

    before = codes(jurisdiction)
    excepting.give_reason(
        exception=RuleException.objects.get(), reason="Twins were born.", by=make_member(), at=AT
    )
    after = codes(jurisdiction)

    assert "exception-without-reason" in before - after


def test_an_answer_that_waits_is_in_no_figure_and_named_until_somebody_looked():
    jurisdiction = programme(answers=16)
    one = Answer.objects.filter(composting="yes").first()
    Answer.objects.filter(pk=one.pk).update(
        review_reason="they stopped, yet say '3 gallons'", in_force_from_day=0, in_force_until_day=0
    )

    waiting = composed(jurisdiction)

    assert waiting.accounts.period.counts[-1].answers == 15
    assert "answers-in-review" in {one.code for one in waiting.findings}
    assert found(programme(jurisdiction=make_jurisdiction(name="Clearwater")), "answers-in-review") is None


def test_a_household_counted_as_new_whose_other_record_says_otherwise_is_named_until_that_is_settled():
    jurisdiction = programme()
    kept = Household.objects.first()
    other = make_household(jurisdiction=jurisdiction, composting_before="prior")
    sound = codes(jurisdiction)
    merging.merge(kept=kept, absorbed=other, by=make_member(), at=AT, reason="same people")

    named = found(jurisdiction, "prior-counted-as-new")
    Household.objects.filter(pk=kept.pk).update(composting_before="prior")

    assert "prior-counted-as-new" not in sound
    assert named.figures == (("households", 1),)
    assert found(jurisdiction, "prior-counted-as-new") is None


@pytest.mark.parametrize(
    ("state", "held_on", "is_named"),
    [
        ("attended", HELD_ON, True),
        # Whoever did not come may have been anybody.
        ("booked", HELD_ON, False),
        # By then they had composted with our bin.
        ("attended", DAY, False),
    ],
)
def test_a_sign_up_tells_of_composting_before_only_for_the_first_bin_and_by_whoever_came(
    state, held_on, is_named
):
    jurisdiction = programme()
    household = Household.objects.first()
    booking = make_booking(
        workshop=make_workshop(held_on=held_on, jurisdiction=jurisdiction, state="closed"),
        lead=make_participant(household=household),
        composting_before="prior",
    )
    booking.registrations.update(state=state)

    assert Booking.objects.get().counted_under == household
    assert (found(jurisdiction, "prior-counted-as-new") is not None) is is_named


def test_weeks_of_which_bins_of_two_sources_could_tell_are_named_and_counted_once():
    jurisdiction, elsewhere = programme(), make_jurisdiction(name="Elsewhere")
    household = Household.objects.first()
    first, second = make_funding_source(name="Grant one"), make_funding_source(name="Grant two")
    Handout.objects.filter(household=household).update(order=make_order(funding_source=first))
    before = composed(jurisdiction)
    # It counts from 23 May, and to the end of June that is 39 days.
    make_handout(
        household=household,
        handed_on=DAY,
        slot=None,
        slots=None,
        allowance="",
        exception=make_exception(),
        order=make_order(funding_source=second),
    )

    after = composed(jurisdiction)

    assert "funded-twice" not in {one.code for one in before.findings}
    named = next(one for one in after.findings if one.code == "funded-twice")
    assert named.figures == (("household-weeks", pytest.approx(39 / 7)),)
    assert after.accounts.period.counts == before.accounts.period.counts
    assert found(elsewhere, "funded-twice") is None


def test_a_bin_that_was_brought_back_before_the_period_gives_its_source_no_claim():
    jurisdiction, household = programme(), Household.objects.first()
    first, second = make_funding_source(name="Grant one"), make_funding_source(name="Grant two")
    Handout.objects.filter(household=household).update(
        order=make_order(funding_source=first), returned_on=datetime.date(2025, 3, 31)
    )
    make_handout(
        household=household,
        handed_on=DAY,
        slot=None,
        slots=None,
        allowance="",
        exception=make_exception(),
        order=make_order(funding_source=second),
    )

    assert found(jurisdiction, "funded-twice") is None


def test_more_per_household_than_was_ever_weighed_is_named():
    jurisdiction = programme()
    sound = codes(jurisdiction)

    Answer.objects.filter(composting="yes").update(food_ml_per_week=110_000)

    assert "above-highest-weighed" in codes(jurisdiction) - sound


def test_an_interval_wider_than_the_estimate_is_named():
    """Two of fifteen households put in all there is."""
    jurisdiction = programme(households=60)
    sound = codes(jurisdiction)
    active = Answer.objects.filter(composting="yes").order_by("pk")

    active.update(food_ml_per_week=100, yard_ml_per_week=0)
    Answer.objects.filter(pk__in=active.values("pk")[:2]).update(food_ml_per_week=60_000)

    assert "interval-wider-than-estimate" in codes(jurisdiction) - sound


def test_a_set_of_factors_that_has_a_successor_is_named(monkeypatch):
    jurisdiction, load = programme(), factors.load
    choices = method.choices_of(MethodSettings(), factor_set="2026-1")
    sound = {one.code for one in composed(jurisdiction, **choices).findings}
    successor = replace(load("2026-1"), name="2031-1", digest="another")
    monkeypatch.setattr(factors, "load", lambda name="": load(name) if name else successor)

    found_now = {one.code for one in composed(jurisdiction, **choices).findings}

    assert "factor-set-outdated" in found_now - sound


def test_trimmings_are_claimed_nowhere_against_a_ban_and_it_would_be_named_if_they_were():
    """Step 5 counts none where they are banned, so records cannot raise it: it watches over step 5 itself."""
    jurisdiction = programme()
    free = composed(jurisdiction)
    Jurisdiction.objects.update(yard_trimmings_banned=True)
    banned = composed(Jurisdiction.objects.get(pk=jurisdiction.pk))

    assert free.accounts.period.figure("landfill_bound", "yard").headline.value > 0
    assert banned.accounts.period.figure("landfill_bound", "yard").headline.value == 0
    assert "yard-where-banned" not in {one.code for one in banned.findings}
    # An account that missed the ban would be caught.
    assert claims.yard_where_banned(banned.inputs.period, account.compute(free.inputs.period)) == ["Quillby"]


def test_what_was_found_stands_on_the_draft_and_in_the_filing_with_what_to_do(as_coordinator):
    jurisdiction = programme()
    other = make_household(jurisdiction=jurisdiction, composting_before="prior")
    kept = Household.objects.exclude(pk=other.pk).first()
    merging.merge(kept=kept, absorbed=other, by=make_member(), at=AT, reason="same people")
    draft = begin(as_coordinator, jurisdiction, latest_offered(as_coordinator))

    page = as_coordinator.get(draft.url).content.decode()

    assert "1 household that composted before is counted as new." in page
    assert "Compare the records merged into them" in page
