"""Intervals over sampling and factors together."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from diversion import factors
from diversion.calibration import Calibration
from diversion.draw_inputs import BadDraws, DrawInputs, DrawnSite, DrawnTotals
from diversion.drawing import Design
from diversion.draws import DrawnFigures, draw, quantiles
from diversion.effects import drawn_effects, drawn_totals, escaping_share
from diversion.errors import OutOfRange
from diversion.factors import Horizon, Precipitation, Report
from diversion.figures import Measure, Stream
from diversion.landfill import DecayingMaterial, GasCollection, lifetime_kg_per_tonne
from diversion.materials import Material
from diversion.outputs import FIGURES, evaluate
from diversion.process import CompostingProcess
from diversion.settings import DRAWS
from diversion.variance_shares import variance_shares
from diversion.warming import MaterialBalance, Warming, net_warming

FIRST = factors.load("2026-1")
GAS = GasCollection.preset("typical", factors=FIRST)
AR6 = Warming.under(Report.AR6, Horizon.YEARS_100, factors=FIRST)
# gross, landfill-bound, additional, composted before; each food L, food kg, trimmings L, trimmings kg
ONE_SITE = [
    [
        300_000,
        20_000,
        200_000,
        0,
        240_000,
        15_000,
        50_000,
        0,
        150_000,
        10_000,
        30_000,
        0,
        30_000,
        2_000,
        100_000,
        0,
    ]
]
CALIBRATION = Calibration(
    kg_per_litre=0.3, standard_error=0.02, lower=0.26, upper=0.34, homes=25, are_volunteers=True
)


def make_totals(
    totals=ONE_SITE, *, cv: float = 0.15, correlation: float = 0.6, degrees: float = 40.0
) -> DrawnTotals:
    totals = np.array(totals, dtype=float)
    shared = cv**2 * (correlation + (1 - correlation) * np.eye(totals.size))
    return DrawnTotals(
        totals=totals,
        covariance=np.outer(totals.ravel(), totals.ravel()) * shared,
        degrees_of_freedom=np.full(totals.shape, degrees),
        gaps_months=np.full(totals.shape, 6.0),
    )


def make_inputs(**differences) -> DrawInputs:
    facts = {
        "totals": make_totals(),
        "sites": (DrawnSite(code="one", precipitation=Precipitation.BETWEEN, gas=GAS),),
        "food_conversion": FIRST.food_density,
        "yard_conversion": FIRST.yard_density,
        "food_docf": 0.5,
        "yard_docf": 0.5,
        "warming": AR6,
        "factors": FIRST,
        "quitting_rate": 0.012,
        "quitting_rate_error": 0.003,
        "season_log_error": 0.2,
    }
    return DrawInputs(**{**facts, **differences})


def without_ranges() -> factors.FactorSet:
    return replace(FIRST, factors=tuple(replace(f, low=f.value, high=f.value) for f in FIRST.factors))


def only_sampling(**differences) -> DrawInputs:
    certain = without_ranges()
    return make_inputs(
        factors=certain,
        food_conversion=certain.food_density,
        yard_conversion=certain.yard_density,
        quitting_rate_error=0.0,
        season_log_error=0.0,
        **differences,
    )


def test_central_values_are_those_of_the_plain_arithmetic():
    drawn = draw(make_inputs(browns_tonnes=3.0), seed=1, count=100)

    def tonnes(first: int, material: Material) -> float:
        litres, kg = ONE_SITE[0][first : first + 2]
        return (litres * FIRST.density(material).value + kg) / 1000

    balances = [
        MaterialBalance(
            gross_tonnes=tonnes(first, material),
            landfill_tonnes=tonnes(4 + first, material),
            composted_before_tonnes=tonnes(12 + first, material),
            methane_kg_per_tonne=lifetime_kg_per_tonne(
                DecayingMaterial.of(material, factors=FIRST, precipitation=Precipitation.BETWEEN), GAS
            ),
        )
        for first, material in ((0, Material.FOOD), (2, Material.YARD))
    ]
    process = CompostingProcess.published(factors=FIRST)
    net = net_warming(balances, process=process, warming=AR6, browns_tonnes=3.0)
    assert drawn.figure(Measure.GROSS).central == pytest.approx(sum(b.gross_tonnes for b in balances))
    assert drawn.figure("methane_lifetime").central == pytest.approx(net.methane_avoided_kg)
    assert drawn.figure("process").central == pytest.approx(net.process_kg_co2e / 1000)
    assert drawn.figure("net").central == pytest.approx(net.net_kg_co2e / 1000)
    assert drawn.figure("additional", Stream.YARD).central == pytest.approx(tonnes(10, Material.YARD))


@pytest.mark.parametrize("degrees", [4.0, 40.0, math.inf])
def test_with_sampling_alone_the_limits_are_students_t_on_the_log_scale(degrees):
    """Reference: Ŷ exp(± t √V/Ŷ) with SciPy's t."""
    only_food = [[300_000] + [0] * 15]
    inputs = only_sampling(totals=make_totals(only_food, degrees=degrees))

    figure = draw(inputs, seed=2).figure(Measure.GROSS, Stream.FOOD)

    stretch = math.exp(stats.t.ppf(0.95, min(degrees, 1e6)) * 0.15)
    assert figure.median == pytest.approx(figure.central, rel=1e-3)
    assert (figure.lower, figure.upper) == pytest.approx(
        (figure.central / stretch, figure.central * stretch), rel=4e-3
    )


def test_seeds_agree_to_one_percent():
    """Of the figure or of its interval, whichever is larger: a net near zero has no percent of its own."""
    drawn = [draw(make_inputs(), seed=seed) for seed in range(1, 6)]

    for name in (*Measure, "methane_lifetime", "process", "net"):
        figures = [figures.figure(name) for figures in drawn]
        scale = max(abs(figures[0].central), figures[0].upper - figures[0].lower)
        for part in ("lower", "median", "upper", "mean"):
            assert np.std([getattr(figure, part) for figure in figures]) < 0.01 * scale


def test_the_same_seed_gives_the_same_figures():
    first, again = draw(make_inputs(), seed=3, count=500), draw(make_inputs(), seed=3, count=500)

    assert first == again
    assert (first.seed, first.count, first.generator) == (3, 500, "PCG64")


def test_food_and_trimmings_of_the_same_households_vary_together():
    """Sd of a sum of two alike, correlation r: √(2(1 + r)) times one. Exact for small log-normal spreads."""
    both = [[100_000, 0, 0, 0] + [0] * 12, [100_000, 0, 0, 0] + [0] * 12]
    inputs = only_sampling(
        totals=make_totals(both, cv=0.02, correlation=0.5, degrees=math.inf),
        sites=make_inputs().sites * 2,
    )

    figure = draw(inputs, seed=1).figure(Measure.GROSS)

    half_width = 1.6448536 * 0.02 * math.sqrt(2 * 1.5) / 2 * figure.central
    assert (figure.upper - figure.lower) / 2 == pytest.approx(half_width, rel=0.02)


def test_a_part_never_exceeds_what_it_is_part_of():
    nearly_all = [[1000, 0, 0, 0, 990, 0, 0, 0, 980, 0, 0, 0, 900, 0, 0, 0]]

    design = Design.of(["factors"], seed=1, count=2000)
    gross, bound, new, before = drawn_totals(make_totals(nearly_all, correlation=0.1), design=design)

    assert (bound <= gross).all()
    assert (new <= bound).all()
    assert (before <= gross).all()


def test_with_weigh_ins_the_range_of_the_density_changes_nothing():
    wide = replace(FIRST.food_density, low=0.01, high=0.9)
    other = replace(FIRST, factors=tuple(wide if f.key == wide.key else f for f in FIRST.factors))

    weighed = draw(make_inputs(food_conversion=CALIBRATION), seed=1, count=1000)
    again = draw(make_inputs(food_conversion=CALIBRATION, factors=other), seed=1, count=1000)

    assert weighed == again
    groups = {share.group for share in weighed.figure("gross").shares.groups}
    assert {"weigh-ins of food", "volunteers who weighed food"} <= groups
    assert "density of food" not in groups


def test_randomly_picked_homes_carry_no_doubt_about_volunteers():
    picked = replace(CALIBRATION, are_volunteers=False)

    volunteers = draw(make_inputs(food_conversion=CALIBRATION), seed=1).figure("gross", "food")
    random = draw(make_inputs(food_conversion=picked), seed=1).figure("gross", "food")

    assert volunteers.median < random.median
    assert volunteers.central == random.central


def test_weigh_ins_that_weighed_nothing_make_nothing():
    nothing = replace(CALIBRATION, kg_per_litre=0.0, standard_error=0.0, lower=None, upper=None)

    weighed = draw(make_inputs(food_conversion=nothing), seed=1, count=100).figure("gross", "food")
    assert weighed.central == 20  # the tonnes that were reported by weight


def test_shares_name_what_would_narrow_the_interval():
    shares = draw(make_inputs(), seed=1).figure("net").shares

    assert sum(share.share for share in shares.groups) + shares.together == pytest.approx(1)
    assert abs(shares.together) < 0.06
    assert shares.groups[0].group == "carbon in food"
    assert not any("docf" in share.group.lower() or "warming" in share.group for share in shares.groups)


def test_certain_inputs_leave_no_spread():
    figure = draw(only_sampling(totals=make_totals(cv=0.0)), seed=1, count=200).figure("net")

    assert figure.lower == pytest.approx(figure.central)
    assert figure.upper == pytest.approx(figure.central)


def test_nothing_composted_is_drawn_as_nothing():
    figures = draw(make_inputs(totals=make_totals(np.zeros((1, 16)))), seed=1, count=200)

    for figure in figures.figures:
        assert (figure.central, figure.lower, figure.upper, figure.shares.groups) == (0, 0, 0, ())


def test_absurd_spread_gives_wide_limits_and_no_overflow():
    figures = draw(make_inputs(totals=make_totals(cv=1e6, degrees=1.0)), seed=1, count=500)

    for figure in figures.figures:
        assert math.isfinite(figure.lower)
        assert math.isfinite(figure.upper)
    assert figures.figure("gross").upper > 1000 * figures.figure("gross").central


def test_what_is_only_rounding_is_not_drawn():
    rounding = [[300_000, 0, 1e-20, 0] + [0] * 12]

    assert (
        draw(make_inputs(totals=make_totals(rounding)), seed=1, count=100).figure("gross", "yard").upper == 0
    )


@pytest.mark.parametrize(("rate", "error"), [(0.012, 0.003), (0.004, 0.004)])
def test_the_quitting_rate_is_normal_cut_at_nothing_and_ages_by_the_gap(rate, error):
    """Limits by hand: Ŷ e^{−(λ − λ̂)ḡ} at λ̂ ± 1.645 se, λ not under 0; gap 6 months; the only uncertainty here."""
    certain = only_sampling(totals=make_totals(cv=0.0))
    figure = draw(replace(certain, quitting_rate=rate, quitting_rate_error=error), seed=1).figure("gross")

    slow, fast = max(rate - 1.6448536 * error, 0), rate + 1.6448536 * error
    assert figure.upper == pytest.approx(figure.central * math.exp(-(slow - rate) * 6), rel=1e-4)
    assert figure.lower == pytest.approx(figure.central * math.exp(-(fast - rate) * 6), rel=1e-4)
    assert [share.group for share in figure.shares.groups] == ["quitting rate"]


def test_docf_and_the_first_print_of_nitrous_oxide_are_scenarios():
    usual = draw(make_inputs(), seed=1, count=500)
    scenario = draw(make_inputs(food_docf=0.7, n2o_as_printed=True), seed=1, count=500)

    ratio = (
        scenario.figure("methane_lifetime", "food").central / usual.figure("methane_lifetime", "food").central
    )
    assert ratio == pytest.approx(1.4)
    assert scenario.figure("process").central > usual.figure("process").central


def test_the_escaping_share_is_that_of_the_closed_form():
    sites = [GAS, GasCollection(phases=(), oxidation=0.25, delay_years=0), replace(GAS, delay_years=3.0)]
    for gas in sites:
        for k in (0.05, 0.1225, 0.4):
            waste = DecayingMaterial(doc=0.15, docf=0.5, mcf=1, methane_fraction=0.5, k=k)
            expected = lifetime_kg_per_tonne(waste, gas) / waste.potential_kg_per_tonne
            assert escaping_share(np.array([k]), gas) == pytest.approx([expected])


def test_quantiles_are_those_of_numpy():
    numbers = np.random.default_rng(1).standard_normal(1001)

    places = [0, 0.05, 0.5, 0.95, 1]
    assert quantiles(numbers, places) == pytest.approx(np.quantile(numbers, places))


def test_figures_are_found_by_name():
    figures = draw(make_inputs(), seed=1, count=50)

    assert isinstance(figures, DrawnFigures)
    with pytest.raises(KeyError):
        figures.figure("savings")


@pytest.mark.parametrize(
    ("difference", "because"),
    [
        ({"totals": np.zeros((1, 15))}, "sites by 16"),
        ({"covariance": np.zeros((3, 3))}, "row and a column"),
        ({"totals": np.full((1, 16), np.nan)}, "not a number"),
        ({"totals": np.full((1, 16), -1.0)}, "negative"),
    ],
)
def test_totals_that_do_not_fit_are_refused(difference, because):
    good = make_totals()
    facts = {
        name: getattr(good, name) for name in ("totals", "covariance", "degrees_of_freedom", "gaps_months")
    }

    with pytest.raises(BadDraws, match=because) as refused:
        DrawnTotals(**{**facts, **difference})
    assert because in refused.value.reason


def test_inputs_that_do_not_fit_are_refused():
    with pytest.raises(BadDraws, match="one landfill for each"):
        make_inputs(sites=())
    with pytest.raises(OutOfRange):
        make_inputs(food_docf=1.5)
    with pytest.raises(OutOfRange):
        make_inputs(quitting_rate_error=-1.0)


def test_shares_are_taken_over_every_fourth_draw_of_a_filing():
    effects = drawn_effects(make_inputs(), seed=3, count=DRAWS)
    fourth = {group: effect[..., ::4] for group, effect in effects.items()}

    shares = draw(make_inputs(), seed=3).figure("gross").shares

    assert FIGURES[2][:2] == ("gross", Stream.BOTH)
    assert shares == variance_shares(lambda some: evaluate(make_inputs(), some), fourth)[2]
