"""Gathering, held against the same sums taken row by row in plain Python."""

import datetime
import random
from collections import defaultdict
from fractions import Fraction

import pytest

from diversion.inputs import Quarter
from outreach.bins.models.handouts import NO_END_DAY
from outreach.filings import gathering, periods
from outreach.filings.gathering import Scope
from tests.factories.bins import make_stay
from tests.factories.followup import make_answer, make_wave
from tests.factories.funding import make_funding_source
from tests.factories.households import make_household
from tests.factories.places import make_district, make_jurisdiction

QUARTER = Quarter(year=2025, quarter=2)
A, B = datetime.date(2025, 4, 1).toordinal(), datetime.date(2025, 7, 1).toordinal()
CUT_OFF = datetime.date(2025, 8, 14)
OLDEST = datetime.date(2024, 1, 1).toordinal()
FIRST_WAVE = 3
pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


def test_a_household_counts_from_two_weeks_after_its_handout():
    jurisdiction = make_jurisdiction()
    make_stay(household=make_household(jurisdiction=jurisdiction), from_day=A + 10)

    (cell,) = gathering.gather_quarter(
        QUARTER, scope=Scope(jurisdiction=jurisdiction), cut_off=CUT_OFF
    ).exposure

    assert (cell.households, cell.days) == (1, (B - A) - 24)


def test_a_bin_returned_within_the_two_weeks_never_counts():
    jurisdiction = make_jurisdiction()
    make_stay(
        household=make_household(jurisdiction=jurisdiction),
        from_day=A,
        until_day=A + 14,
        ended_because="returned",
    )

    cells = gathering.gather_quarter(QUARTER, scope=Scope(jurisdiction=jurisdiction), cut_off=CUT_OFF)

    assert cells.exposure == ()


def test_households_of_elsewhere_are_nobodys():
    make_stay(household=make_household(jurisdiction=None), from_day=A - 100)

    assert gathering.gather_quarter(QUARTER, scope=Scope(jurisdiction=None), cut_off=CUT_OFF).exposure == ()


def test_an_answer_too_old_or_dated_after_the_cut_off_is_not_in_force():
    jurisdiction = make_jurisdiction()
    for day in (OLDEST - 1, CUT_OFF.toordinal() + 1):
        household = make_household(jurisdiction=jurisdiction)
        make_stay(household=household, from_day=OLDEST - 100)
        make_answer(household=household, answered_on=datetime.date.fromordinal(day))

    cells = gathering.gather_quarter(QUARTER, scope=Scope(jurisdiction=jurisdiction), cut_off=CUT_OFF)

    assert cells.answers == ()


def test_the_answer_in_force_in_a_past_quarter_is_the_one_of_then():
    jurisdiction = make_jurisdiction()
    household = make_household(jurisdiction=jurisdiction)
    make_stay(household=household, from_day=A - 200)
    then, later = A + 30, B + 60
    make_answer(
        household=household,
        answered_on=datetime.date.fromordinal(then),
        food_ml_per_week=1000,
        in_force_until_day=later,
    )
    make_answer(household=household, answered_on=datetime.date.fromordinal(later), food_ml_per_week=9000)

    (cell,) = gathering.gather_quarter(
        QUARTER, scope=Scope(jurisdiction=jurisdiction), cut_off=datetime.date(2026, 1, 1)
    ).answers

    assert cell.days_food == cell.days * 10


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_cells_are_the_sums_of_the_rows(seed):
    rows = _invented_programme(random.Random(seed))

    cells = gathering.gather_quarter(QUARTER, scope=Scope(jurisdiction=None), cut_off=CUT_OFF)

    assert {_key(cell): _sums(cell) for cell in cells.answers} == _answers_by_hand(rows)
    assert {
        (c.jurisdiction, c.district, c.family, c.band, c.language, c.funding_source): (
            c.households,
            c.days,
            c.unasked_households,
            c.unasked_days,
        )
        for c in cells.exposure
    } == _exposure_by_hand(rows)


def test_a_jurisdictions_cells_are_its_part_of_all():
    _invented_programme(random.Random(4))
    everything = gathering.gather_quarter(QUARTER, scope=Scope(jurisdiction=None), cut_off=CUT_OFF)

    for jurisdiction in Scope(jurisdiction=None).jurisdictions:
        own = gathering.gather_quarter(QUARTER, scope=Scope(jurisdiction=jurisdiction), cut_off=CUT_OFF)

        assert own.answers == tuple(c for c in everything.answers if c.jurisdiction == jurisdiction.name)
        assert own.exposure == tuple(c for c in everything.exposure if c.jurisdiction == jurisdiction.name)


def test_quits_are_counted_by_month_since_the_first_handout():
    jurisdiction = make_jurisdiction()
    for months, composting in ((6, "yes"), (6, "stopped"), (12, "on_and_off")):
        household = make_household(jurisdiction=jurisdiction)
        make_stay(household=household, from_day=A - 400)
        answered = datetime.date.fromordinal(A - 400 + round(months * 30.4375) + 2)
        make_answer(household=household, answered_on=answered, composting=composting)

    quits = gathering.gather_quits(scope=Scope(jurisdiction=jurisdiction), cut_off=CUT_OFF)

    assert [(q.months, q.still, q.stopped) for q in quits] == [(6, 1, 1), (12, 1, 0)]


def test_sums_beyond_63_bits_are_refused_in_words(monkeypatch):
    def overflown(query, values):
        from django.db import OperationalError

        raise OperationalError("integer overflow")

    monkeypatch.setattr(gathering, "_rows", overflown)

    with pytest.raises(gathering.SumsTooLarge, match="one by one"):
        gathering.gather_quarter(QUARTER, scope=Scope(jurisdiction=None), cut_off=CUT_OFF)


def test_a_quarter_reads_as_it_is_written():
    assert periods.read_quarter("2025-Q2") == QUARTER
    assert periods.last_full_quarter(datetime.date(2025, 7, 1)) == QUARTER
    assert periods.last_full_quarter(datetime.date(2025, 6, 30)) == Quarter(year=2025, quarter=1)
    with pytest.raises(periods.NotAQuarter, match="such as 2025-Q2"):
        periods.read_quarter("spring 2025")


def test_the_fiscal_year_to_date_starts_in_its_month():
    july = periods.year_to_date(periods.calendar_quarter(QUARTER), starts_month=7)
    inside_a_quarter = periods.year_to_date(periods.calendar_quarter(QUARTER), starts_month=2)
    in_different_months = periods.year_to_date(periods.calendar_quarter(QUARTER), starts_month=None)

    assert [str(one) for one in july.slices] == ["2024-Q3", "2024-Q4", "2025-Q1", "2025-Q2"]
    assert [str(one) for one in inside_a_quarter.slices] == ["2025-02-01/2025-03-31", "2025-Q2"]
    assert [str(one) for one in in_different_months.slices] == ["2025-Q1", "2025-Q2"]
    assert (july.is_fiscal, inside_a_quarter.is_fiscal, in_different_months.is_fiscal) == (True, True, False)


def _invented_programme(dice):
    make_wave(months_after=FIRST_WAVE)
    districts = [None]
    places = [make_jurisdiction(), make_jurisdiction()]
    districts += [make_district(jurisdiction=places[0]), make_district(jurisdiction=places[0])]
    sources = [None, make_funding_source(), make_funding_source()]
    rows = []
    for _ in range(60):
        place = dice.choice(places)
        household = make_household(
            jurisdiction=place,
            district=dice.choice(districts) if place is places[0] else None,
            composting_before=dice.choice(["new", "prior", "not_said"]),
            language=dice.choice(["", "en", "es", "es", "tl"]),
        )
        stays = _stays(dice, household, sources)
        rows.append((household, stays, _answer(dice, household)))
    return rows


def _stays(dice, household, sources):
    start = A - dice.randint(-80, 900)
    end = start + dice.randint(1, 700)
    first = (start, end, dice.choice(["mesh", "tumbler"]), dice.choice(sources))
    made = [first]
    if dice.random() < 0.3:
        made.append((end + dice.randint(0, 60), NO_END_DAY, "rigid", dice.choice(sources)))
    for from_day, until_day, family, source in made:
        make_stay(
            household=household,
            from_day=from_day,
            until_day=until_day,
            family=family,
            funding_source=source,
            ended_because="" if until_day == NO_END_DAY else "returned",
        )
    return made


def _answer(dice, household):
    if dice.random() < 0.3:
        return None
    day = dice.randint(OLDEST - 60, CUT_OFF.toordinal() + 30)
    trash = dice.choice([None, 0, 60, 100])
    fields = {
        "answered_on": datetime.date.fromordinal(day),
        "composting": dice.choice(["yes", "yes", "on_and_off", "stopped"]),
        "food_ml_per_week": None,
        "food_trash_percent": trash,
        "food_composted_percent": None if trash is None else dice.choice([0, 100 - trash]),
    }
    if fields["composting"] != "stopped":
        fields |= dice.choice([{}, {"food_ml_per_week": 4321}, {"food_g_per_week": 777}])
        fields |= dice.choice([{}, {"yard_ml_per_week": 32_449}, {"yard_ml_per_week": 50}])
        fields |= dice.choice([{}, {"browns_ml_per_week": 0}, {"browns_ml_per_week": 7_950}])
    return make_answer(household=household, **fields)


def _exposed(stays):
    spans = [(max(f + 14, A), min(u, B)) for f, u, *_ in stays if u > f + 14]
    spans = [(start, end) for start, end in spans if start < end]
    if not spans:
        return None
    days = sum(end - start for start, end in spans)
    middle = Fraction(min(s for s, _ in spans) + max(e for _, e in spans), 2)
    of_first = next(
        (family, str(source or ""))
        for f, u, family, source in sorted(stays, key=lambda stay: stay[0])
        if u > f + 14 and max(f + 14, A) < min(u, B)
    )
    return days, middle, min(f for f, *_ in stays), of_first


def _band(middle, first):
    months = (middle - first) / Fraction(36525, 1200)
    return sum(months >= limit for limit in (6, 12, 24))


def _in_force(answer):
    return answer and OLDEST <= answer.answered_on.toordinal() <= CUT_OFF.toordinal()


def _place(household, stays):
    days, middle, first, (family, source) = _exposed(stays)
    district = household.district.name if household.district else ""
    # A language that residents are not written to counts as none.
    language = household.language if household.language in ("en", "es") else ""
    place = (household.jurisdiction.name, district, family, _band(middle, first), language, source)
    return days, middle, place


def _answers_by_hand(rows):
    found = defaultdict(lambda: [0] * 13)
    for household, stays, answer in rows:
        if not (_exposed(stays) and _in_force(answer)):
            continue
        days, middle, place = _place(household, stays)
        still = answer.composting != "stopped"
        gap = max(0, (middle - answer.answered_on.toordinal()) / Fraction(36525, 1200))
        asked = answer.answered_on - datetime.timedelta(days=15)
        food = (
            (answer.food_g_per_week or 0, 10)
            if answer.food_g_per_week
            else (answer.food_ml_per_week or 0, 100)
        )
        f = int(Fraction(*food) + Fraction(1, 2)) if still else 0
        y = int(Fraction(answer.yard_ml_per_week or 0, 100) + Fraction(1, 2)) if still else 0
        w = int(Fraction(answer.browns_ml_per_week or 0, 100) + Fraction(1, 2)) if still else 0
        key = (
            *place,
            int(gap + Fraction(1, 2)),
            (asked.month + 2) // 3,
            "weight" if answer.food_g_per_week else "volume",
            answer.food_trash_percent,
            answer.food_composted_percent,
            household.composting_before,
            still,
            not still or bool(answer.food_g_per_week or answer.food_ml_per_week),
            not still or bool(answer.yard_ml_per_week),
            not still or answer.browns_ml_per_week is not None,
        )
        sums = (
            1, days, days**2, days * f, days * y, days**2 * f, days**2 * y, days**2 * f * f, days**2 * y * y,
            days**2 * f * y, days * w, days**2 * w, days**2 * w * w,
        )  # fmt: skip
        found[key] = [a + b for a, b in zip(found[key], sums, strict=True)]
    return dict(found)


def _exposure_by_hand(rows):
    found = defaultdict(lambda: (0, 0, 0, 0))
    for household, stays, answer in rows:
        if not _exposed(stays):
            continue
        days, _, place = _place(household, stays)
        first = min(f for f, *_ in stays)
        unasked = not _in_force(answer) and first + round(FIRST_WAVE * 30.4375) > CUT_OFF.toordinal()
        sums = (1, days, int(unasked), days if unasked else 0)
        found[place] = tuple(a + b for a, b in zip(found[place], sums, strict=True))
    return dict(found)


def _key(c):
    return (
        c.jurisdiction, c.district, c.family, c.band, c.language, c.funding_source,
        c.gap_months, c.quarter_asked, str(c.food_in),
        c.food_trash_percent, c.food_composted_percent, str(c.prior), c.still_composting, c.food_given, c.yard_given,
        c.browns_given,
    )  # fmt: skip


def _sums(c):
    return [
        c.answers, c.days, c.days_sq, c.days_food, c.days_yard, c.days_sq_food, c.days_sq_yard, c.days_sq_food_sq,
        c.days_sq_yard_sq, c.days_sq_food_yard, c.days_browns, c.days_sq_browns, c.days_sq_browns_sq,
    ]  # fmt: skip
