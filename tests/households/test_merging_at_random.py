"""Whatever is merged, recorded and undone in whatever order, every row counts where a plain tree says.

The model knows only who was merged into whom; a row counts under the root of the record that it names.
"""

import datetime
import itertools

import pytest
from django.core.exceptions import ValidationError
from django.db import transaction
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from outreach.bins import handing_out, ledger
from outreach.bins.models import Handout
from outreach.coaching.models import HelpRequest
from outreach.followup import answering
from outreach.followup.answer_reading import AnswerAsGiven
from outreach.followup.models import Answer, Invitation, SiteCheck, WeighIn
from outreach.households import merging
from outreach.households.models import Household, HouseholdMerge
from outreach.staff import checking
from outreach.workshops.models import Booking, Registration
from tests.factories.bins import make_bin_model, make_stock_place
from tests.factories.coaching import make_help_request
from tests.factories.followup import (
    make_invitation,
    make_site_check,
    make_wave,
    make_weigh_in,
    make_weigh_in_season,
)
from tests.factories.households import make_household, make_participant
from tests.factories.staff import make_member
from tests.factories.workshops import make_booking, make_registration

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
AT = datetime.datetime(2025, 9, 20, 18, tzinfo=datetime.UTC)
FIRST_DAY = datetime.date(2025, 5, 9)
RECORDS = 4
COUNTED = (Handout, Answer, Registration, Booking, HelpRequest, SiteCheck, WeighIn, Invitation)

record = st.integers(0, RECORDS - 1)
STEPS = st.one_of(
    st.tuples(st.just("merge"), record, record),
    st.tuples(st.just("undo"), record, st.just(0)),
    st.tuples(st.just("row"), record, st.integers(0, len(COUNTED) - 1)),
)


class Run:
    """Some records of households, what was merged into what, and days that go by."""

    def __init__(self):
        self.by, self.place, self.model = make_member(), make_stock_place(), make_bin_model()
        stock = {"bin_model": self.model, "quantity": 99, "to_place": self.place, "received_on": FIRST_DAY}
        ledger.receive(**stock, by=self.by, at=AT)
        self.households = [make_household() for _ in range(RECORDS)]
        self.into: dict[int, int] = {}
        self.days = (FIRST_DAY + datetime.timedelta(days=n) for n in itertools.count(1))

    def root(self, number):
        while number in self.into:
            number = self.into[number]
        return number

    def merge(self, kept, absorbed):
        can = kept != absorbed and kept not in self.into and absorbed not in self.into
        try:
            merging.merge(
                kept=self.fresh(kept), absorbed=self.fresh(absorbed), by=self.by, at=AT, reason="One door"
            )
        except ValidationError:
            assert not can
        else:
            assert can
            self.into[absorbed] = kept

    def undo(self, absorbed, _nothing):
        merged = HouseholdMerge.objects.filter(absorbed=self.households[absorbed], undone_at=None).first()
        assert (merged is not None) == (absorbed in self.into)
        if merged is None:
            return
        can = self.into[absorbed] not in self.into
        try:
            merging.unmerge(record=merged, by=self.by, at=AT)
        except ValidationError:
            assert not can
        else:
            assert can
            del self.into[absorbed]

    def row(self, number, kind):
        household, on = self.fresh(number), next(self.days)
        match COUNTED[kind].__name__:
            case "Handout":
                facts = {"household": household, "bin_model": self.model, "handed_on": on}
                handing_out.hand_out(
                    **facts, from_place=self.place, by=self.by, at=AT, exception_reason="Asked for"
                )
            case "Answer":
                given = AnswerAsGiven(household=household, answered_on=on, composting="yes", channel="paper")
                answering.record_answer(given=given, by=self.by, at=AT)
            case "Registration":
                make_registration(participant=make_participant(household=household))
            case "Booking":
                make_booking(household=household, counted_under=household.counted_under)
            case "HelpRequest":
                make_help_request(household=household, counted_under=household.counted_under)
            case "SiteCheck":
                make_site_check(household=household, checked_on=on)
            case "WeighIn":
                make_weigh_in(household=household, season=make_weigh_in_season(name=f"Season of {on}"))
            case "Invitation":
                months = (on - FIRST_DAY).days
                make_invitation(household=household, wave=make_wave(months_after=months))

    def fresh(self, number):
        return Household.objects.get(pk=self.households[number].pk)


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=st.lists(STEPS, min_size=3, max_size=16))
@example(
    steps=[("merge", 1, 2), ("merge", 0, 1), *(("row", 2, n) for n in range(len(COUNTED))), ("undo", 1, 0)]
)
@example(
    steps=[("merge", 1, 2), ("row", 2, 0), ("merge", 0, 1), ("row", 2, 0), ("undo", 1, 0), ("undo", 2, 0)]
)
def test_every_row_counts_where_a_plain_tree_says(db, steps):
    with transaction.atomic():
        run = Run()
        for step, first, second in steps:
            getattr(run, step)(first, second)

            roots = {one.pk: run.households[run.root(n)].pk for n, one in enumerate(run.households)}
            for household in run.households:
                assert run_root(household) == roots[household.pk]
            for model in COUNTED:
                rows = model.objects.filter(household__in=roots).values_list("household", "counted_under")
                assert [counted for _own, counted in rows] == [roots[own] for own, _counted in rows]
            assert differing("stays") + differing("days in force") == []
        transaction.set_rollback(True)


def differing(name):
    return next(kept for kept in checking.everything() if kept.name == name).compare()


def run_root(household):
    return Household.objects.get(pk=household.pk).counted_under.pk
