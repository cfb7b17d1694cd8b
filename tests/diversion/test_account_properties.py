"""What holds for any account."""

import json
from collections import defaultdict
from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diversion.account import compute
from diversion.cells import PART_FIELDS, Prior, Unit
from diversion.inputs import JurisdictionSettings, MethodSettings
from tests.factories.diversion import Answer, make_cells, make_exposure, make_inputs, make_quarter

PLACES = ("jurisdiction", "district", "family", "band", "language", "funding_source")
PERCENTS = [(None, None), (100, 0), (50, 50), (0, 100), (30, None), (0, 0)]
FEW_PLACES = {
    "jurisdiction": ["A", "B"],
    "district": ["1", "2"],
    "family": ["mesh", "rigid"],
    "band": range(4),
    "language": ["", "en", "es"],
    "funding_source": ["", "Organics grant"],
}


def answer_row(draw: Random, said: float) -> Answer:
    """One household's answer anywhere in a small programme; `said` is the chance that it gives an amount."""
    still = draw.random() < draw.choice([0.1, 0.8])
    given = {name: not still or draw.random() < said for name in ("food_given", "yard_given")}
    food, yard = draw.choice(PERCENTS), draw.choice(PERCENTS)
    key = {name: draw.choice(codes) for name, codes in FEW_PLACES.items()} | {
        "gap_months": draw.randrange(19),
        "quarter_asked": draw.randrange(5),
        "food_in": draw.choice(list(Unit)),
        "yard_in": draw.choice(list(Unit)),
        "food_trash_percent": food[0],
        "food_composted_percent": food[1],
        "yard_trash_percent": yard[0],
        "yard_composted_percent": yard[1],
        "prior": draw.choice(list(Prior)),
        "still_composting": still,
    }
    amounts = [
        draw.choice([0, 1, draw.randrange(2000)]) if still and known else 0 for known in given.values()
    ]
    return Answer(
        food=amounts[0], yard=amounts[1], days=draw.choice([1, 91, draw.randrange(1, 92)]), key=key | given
    )


def make_programme(draw: Random, answers: int, most_silent: int, said: float = 0.8):
    """Inputs with answers of any kind, and in each place up to so many households that did not answer."""
    rows = [answer_row(draw, said) for _ in range(answers)]
    by_place = defaultdict(list)
    for row in rows:
        by_place[tuple(row.key[name] for name in PLACES)].append(row)
    exposure = []
    for place, members in by_place.items():
        silent = draw.randrange(most_silent + 1)
        exposure.append(
            make_exposure(
                **dict(zip(PLACES, place, strict=True)),
                households=len(members) + silent,
                days=sum(row.days for row in members) + 91 * silent,
                unasked_households=silent // 2,
                unasked_days=91 * (silent // 2),
            )
        )
    quarter = make_quarter(exposure=tuple(exposure), answers=make_cells(rows))
    banned = JurisdictionSettings(code="B", yard_banned=True, landfilled_share=0.6)
    places = (JurisdictionSettings(code="A"), banned)
    return make_inputs(quarters=(quarter,), jurisdictions=places, settings=MethodSettings())


def programmes(*, least=0, most_silent=30, said=0.8):
    seeds = st.integers(0, 2**32).map(Random)
    return st.builds(make_programme, seeds, st.integers(least, 40), st.just(most_silent), st.just(said))


@settings(max_examples=60, deadline=None)
@given(programmes())
def test_no_account_is_ever_not_a_number(inputs):
    account = compute(inputs)

    json.dumps(account.to_dict(), allow_nan=False)
    assert account.estimated == (account.counts[0].answers >= 5)


@settings(max_examples=40, deadline=None)
@given(programmes(least=5))
def test_figures_keep_their_order(inputs):
    account = compute(inputs)

    slack = 1e-9
    for stream in ("food", "yard", "both"):
        gross = account.figure("gross", stream)
        bound, additional = account.figure("landfill_bound", stream), account.figure("additional", stream)
        assert additional.alike.value <= bound.alike.value + slack
        assert bound.alike.value <= gross.alike.value + slack
        assert gross.nothing <= gross.headline.value + slack
        values = [entry.value for entry in gross.at_odds]
        assert values == sorted(values, reverse=True)
        if gross.alike.lower is not None:
            assert gross.said_lower <= gross.headline.value <= gross.said_upper


@settings(max_examples=25, deadline=None)
@given(programmes(least=5), st.sampled_from(PART_FIELDS))
def test_parts_add_up(inputs, dimension):
    known = any(getattr(cell, dimension) for cell in inputs.quarters[0].exposure)
    account = compute(inputs)
    if not known:
        assert not account.parts_by(dimension)
        return

    for measure in ("gross", "landfill_bound", "additional", "composted_before"):
        whole = account.figure(measure)
        parts = [part.figure(measure, "both") for part in account.parts_by(dimension)]
        assert sum(part.alike for part in parts) == pytest.approx(whole.alike.value)
        assert sum(part.headline for part in parts) == pytest.approx(whole.headline.value)
        assert sum(part.nothing for part in parts) == pytest.approx(whole.nothing)
    households = sum(part.households for part in account.parts_by(dimension))
    assert households == account.counts[0].households


@settings(max_examples=25, deadline=None)
@given(programmes(least=5))
def test_joining_strata_keeps_every_household_week(inputs):
    account = compute(inputs)

    assert sum(s.household_weeks for s in account.strata) == pytest.approx(account.counts[0].household_weeks)
    assert sum(s.households for s in account.strata) == account.counts[0].households
    assert sum(s.answers for s in account.strata) == account.counts[0].answers


@settings(max_examples=25, deadline=None)
@given(programmes(least=5), st.integers(2, 9))
def test_scaling_every_amount_scales_the_tonnes(inputs, factor):
    quarter = inputs.quarters[0]
    scaled = replace(
        inputs, quarters=(replace(quarter, answers=tuple(times(c, factor) for c in quarter.answers)),)
    )

    plain, larger = compute(inputs), compute(scaled)

    for figure in plain.figures:
        other = larger.figure(figure.name, figure.stream)
        assert other.headline.value == pytest.approx(factor * figure.headline.value, abs=1e-12)


def times(cell, factor):
    once = ("days_food", "days_yard", "days_sq_food", "days_sq_yard")
    twice = ("days_sq_food_sq", "days_sq_yard_sq", "days_sq_food_yard")
    return replace(
        cell,
        **{name: factor * getattr(cell, name) for name in once},
        **{name: factor**2 * getattr(cell, name) for name in twice},
    )


@settings(max_examples=25, deadline=None)
@given(programmes(least=5, most_silent=0, said=1))
def test_a_census_has_no_sampling_error_and_no_silence(inputs):
    account = compute(inputs)

    for figure in account.figures:
        assert figure.alike.sampling_error == 0
    gross = account.figure("gross")
    assert gross.nothing == pytest.approx(gross.alike.value)
    assert gross.headline.value == pytest.approx(gross.alike.value)


@settings(max_examples=15, deadline=None)
@given(programmes(least=5), st.randoms())
def test_the_order_of_cells_does_not_matter(inputs, random):
    quarter = inputs.quarters[0]
    exposure, answers = list(quarter.exposure), list(quarter.answers)
    random.shuffle(exposure)
    random.shuffle(answers)

    other = compute(
        replace(inputs, quarters=(replace(quarter, exposure=tuple(exposure), answers=tuple(answers)),))
    )

    for figure in compute(inputs).figures:
        assert other.figure(figure.name, figure.stream).headline.value == pytest.approx(
            figure.headline.value, abs=1e-12
        )


@settings(max_examples=15, deadline=None)
@given(programmes(least=5))
def test_the_same_inputs_give_the_same_figures_to_the_last_bit(inputs):
    assert compute(inputs).to_dict() == compute(inputs).to_dict()
