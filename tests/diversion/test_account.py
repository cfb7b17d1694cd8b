"""An account as a whole."""

import json
import math
from dataclasses import replace

import pytest

from diversion.account import compute
from diversion.calibration import WeighIn, calibrate
from diversion.cells import Prior, QuitCount
from diversion.estimating import estimate
from diversion.factors import Horizon, Precipitation, Report, load
from diversion.inputs import EarlierTonnes, JurisdictionSettings, MethodSettings, Quarter
from diversion.landfill import QuarterOfDiversion, methane_by_calendar_year
from diversion.materials import Material
from diversion.notes import notes
from diversion.process import CompostingProcess
from diversion.terms import silent_ratio
from diversion.warming import MaterialBalance, Warming, net_warming
from diversion.weights import Site
from tests.factories.diversion import Answer, make_answers, make_exposure, make_inputs, make_quarter

SECOND, THIRD = Quarter(year=2025, quarter=2), Quarter(year=2025, quarter=3)
AMOUNTS = (20, 30, 0, 50, 10)
ASKED_ALL = MethodSettings(odds=1, apply_ageing=False, apply_season=False)


def yard_answers(asked, count=6, **differences):
    return make_answers([Answer(yard=100)] * count, quarter_asked=asked, **differences)


def notes_of(account):
    return {note.code for note in account.notes}


@pytest.mark.parametrize(("odds", "ratio"), [(1, 1), (2, 0.781250), (4, 0.543478)])
def test_the_silent_count_less_the_keener_the_answerers(odds, ratio):
    """72 % of answerers compost; worked out by the designers of the method."""
    assert silent_ratio(0.72, odds) == pytest.approx(ratio, rel=1e-4)


@pytest.mark.parametrize("odds", [1, 2, 4, 100])
def test_where_every_answerer_composts_the_odds_say_nothing(odds):
    assert silent_ratio(1, odds) == 1


def test_a_hundred_tonnes_of_food_and_sixty_of_yard_trimmings():
    """Method note, step 11: 80 of 100 t food and 15 of 60 t yard to trash, 10 and 30 composted before or in a cart.

    Avoided 49.3969, composting 20.8224, net 28.5745 t CO2e, worked out by the designers of the method.
    """
    factors = load("2026-1")
    # Decilitres a week of each of ten households over 13 weeks.
    food = round(100_000 / 130 / factors.food_density.value * 10)
    yard = round(60_000 / 130 / factors.yard_density.value * 10)
    answers = make_answers(
        [Answer(food=food, yard=yard)] * 10,
        food_trash_percent=80,
        food_composted_percent=10,
        yard_trash_percent=25,
        yard_composted_percent=50,
    )
    account = compute(make_inputs(quarters=(make_quarter(answers=(answers,)),), settings=ASKED_ALL))

    assert account.figure("gross", "food").headline.value == pytest.approx(100, rel=1e-4)
    assert account.figure("methane_lifetime").headline.value * 27.0 / 1000 == pytest.approx(49.3969, rel=1e-4)
    assert account.figure("process").headline.value == pytest.approx(20.8224, rel=1e-4)
    assert account.figure("net").headline.value == pytest.approx(28.5745, rel=1e-4)


def test_net_agrees_with_the_balance_of_materials():
    places = (
        JurisdictionSettings(
            code="A", landfilled_share=0.7, precipitation=Precipitation.WET, collection="none"
        ),
        JurisdictionSettings(code="B", yard_banned=True, oxidation=0.25),
    )
    cells = [
        make_answers(
            [Answer(food=amount, yard=2 * amount) for amount in AMOUNTS],
            jurisdiction=code,
            food_trash_percent=60,
            food_composted_percent=30,
            yard_trash_percent=40,
            yard_composted_percent=50,
        )
        for code in "AB"
    ]
    quarter = make_quarter(exposure=(make_exposure(), make_exposure(jurisdiction="B")), answers=tuple(cells))
    method = MethodSettings(apply_ageing=False, apply_season=False, report=Report.AR5, n2o_as_printed=True)
    inputs = make_inputs(quarters=(quarter,), jurisdictions=places, settings=method)

    account = compute(inputs)

    balances = []
    for place, part in zip(places, account.parts_by("jurisdiction"), strict=True):
        site = Site.of(place, factors=inputs.factors, method=method)
        for number, material in enumerate(("food", "yard")):
            balances.append(
                MaterialBalance(
                    gross_tonnes=part.figure("gross", material).headline,
                    landfill_tonnes=part.figure("landfill_bound", material).headline,
                    composted_before_tonnes=part.figure("composted_before", material).headline,
                    methane_kg_per_tonne=float(site.methane()[number]),
                    stored_carbon_kg_per_tonne=float(site.stored_carbon()[number]),
                )
            )
    expected = net_warming(
        balances,
        process=CompostingProcess.published(factors=inputs.factors, n2o_as_printed=True),
        warming=Warming.under(Report.AR5, Horizon.YEARS_100, factors=inputs.factors),
    )
    assert account.figure("methane_lifetime").headline.value == pytest.approx(expected.methane_avoided_kg)
    assert account.figure("net").headline.value == pytest.approx(expected.net_kg_co2e / 1000)
    assert account.figure("stored_carbon").headline.value == pytest.approx(
        expected.stored_carbon_kg_co2 / 1000
    )
    assert account.parts_by("jurisdiction")[1].figure("landfill_bound", "yard").alike == 0


def test_the_food_scenario_makes_more_methane():
    plain = compute(make_inputs(quarters=(make_quarter(answers=(full_trash(),)),), settings=ASKED_ALL))
    scenario = MethodSettings(odds=1, apply_ageing=False, apply_season=False, food_docf_scenario=True)

    other = compute(make_inputs(quarters=(make_quarter(answers=(full_trash(),)),), settings=scenario))

    ratio = other.figure("methane_lifetime").alike.value / plain.figure("methane_lifetime").alike.value
    assert ratio == pytest.approx(0.7 / 0.5)
    assert len(other.working.steps[9].factors) == len(plain.working.steps[9].factors) + 1


def full_trash(**differences):
    return make_answers([Answer(food=amount) for amount in AMOUNTS], food_trash_percent=100, **differences)


def test_too_few_answers_give_counts_and_a_reason_but_no_figure():
    few = make_answers([Answer(food=10)] * 4)

    account = compute(make_inputs(quarters=(make_quarter(answers=(few,)),)))

    assert not account.estimated
    assert account.no_estimate_reason.startswith("4 answers in force are too few")
    assert (account.figures, account.strata, account.landfill_bound) == ((), (), ())
    assert (account.counts[0].households, account.counts[0].answers) == (10, 4)
    assert account.parts_by("jurisdiction")[0].households == 10
    assert notes_of(account) == {"no_estimate"}
    assert [step.number for step in account.working.steps] == [1, 2]
    with pytest.raises(KeyError):
        account.figure("gross")
    with pytest.raises(KeyError):
        account.parts[0].figure("gross", "both")


def test_no_bin_anywhere_gives_no_estimate():
    account = compute(make_inputs(quarters=(make_quarter(exposure=(), answers=()),)))

    assert account.no_estimate_reason == "No household had a bin in use in the period."
    assert account.response is None


def test_where_everybody_stopped_there_is_no_interval_but_a_bound():
    stopped = make_answers([Answer()] * 9, still_composting=False)

    account = compute(make_inputs(quarters=(make_quarter(answers=(stopped,)),)))

    gross = account.figure("gross")
    assert (gross.alike.value, gross.alike.lower, gross.said_upper) == (0, None, None)
    assert account.at_most_composting == pytest.approx(1 - 0.05 ** (1 / 9))
    assert "all_stopped" in notes_of(account)


def test_households_not_yet_asked_have_their_line_and_stay_out_of_the_response_rate():
    exposure = make_exposure(households=20, days=1820, unasked_households=10, unasked_days=700)

    account = compute(make_inputs(quarters=(make_quarter(exposure=(exposure,)),)))

    assert (account.response.count, account.response.of) == (5, 10)
    assert account.unasked.households == 10
    assert account.unasked.household_weeks == 100
    # 2.2 litres a week on average, 0.327 kg/L, as their stratum.
    assert account.unasked.figure("gross", "food").alike == pytest.approx(100 * 2.2 * 0.327 / 1000)
    assert account.unasked.figure("gross", "food").nothing == 0


def test_where_nobody_was_asked_yet_there_is_no_response_rate():
    exposure = make_exposure(unasked_households=10, unasked_days=910)

    account = compute(make_inputs(quarters=(make_quarter(exposure=(exposure,), answers=()),)))

    assert account.response is None


def test_two_quarters_are_the_sum_and_their_sampling_errors_add_up():
    second, third = make_quarter(quarter=SECOND), make_quarter(quarter=THIRD)

    one = compute(make_inputs(quarters=(second,)))
    both = compute(make_inputs(quarters=(second, third)))

    for name in ("gross", "net"):
        assert both.figure(name).alike.value == pytest.approx(2 * one.figure(name).alike.value)
        assert both.figure(name).alike.standard_error == pytest.approx(
            2 * one.figure(name).alike.standard_error
        )
    assert both.working.steps[12].applied
    assert [count.quarter for count in both.counts] == ["2025-Q2", "2025-Q3"]


def test_a_quarter_before_the_first_bin_adds_nothing():
    empty, second = (
        make_quarter(quarter=Quarter(year=2025, quarter=1), exposure=(), answers=()),
        make_quarter(),
    )

    account = compute(make_inputs(quarters=(empty, second)))

    assert (
        account.figure("gross").alike.value
        == compute(make_inputs(quarters=(second,))).figure("gross").alike.value
    )


def test_a_calendar_year_holds_methane_of_tonnes_filed_earlier():
    past = Quarter(year=2024, quarter=3)
    earlier = [
        EarlierTonnes(quarter=past, jurisdiction=code, material=Material.FOOD, landfill_bound_tonnes=5)
        for code in "AB"
    ]
    quarter = make_quarter(answers=(full_trash(),))
    years = MethodSettings(odds=1, apply_ageing=False, apply_season=False, calendar_years=(2025, 2026))
    inputs = make_inputs(quarters=(quarter,), earlier=tuple(earlier), settings=years)

    account = compute(inputs)

    site = Site.of(inputs.jurisdictions[0], factors=inputs.factors, method=years)
    bound = account.figure("landfill_bound", "food").alike.value
    expected = methane_by_calendar_year(
        [
            QuarterOfDiversion(year=2024, quarter=3, tonnes=10),
            QuarterOfDiversion(year=2025, quarter=2, tonnes=bound),
        ],
        site.materials[0],
        site.gas,
        first_year=2025,
        last_year=2026,
    )
    found = {year: account.figure(f"methane_{year}", "food").headline.value for year in (2025, 2026)}
    assert found == pytest.approx(expected)
    assert account.figure("methane_2026", "both").alike.lower < expected[2026]


def test_the_account_hands_its_tonnes_on_to_later_accounts():
    account = compute(make_inputs(quarters=(make_quarter(answers=(full_trash(),)),)))

    by_material = {entry.material: entry.tonnes for entry in account.landfill_bound}

    assert by_material["food"] == pytest.approx(account.figure("landfill_bound", "food").headline.value)
    assert by_material["yard"] == 0


def test_old_answers_count_less():
    quits = tuple(
        QuitCount(months=m, still=s, stopped=100 - s) for m, s in ((6, 82), (12, 75), (24, 64), (36, 57))
    )
    answers = make_answers([Answer(food=amount) for amount in AMOUNTS], gap_months=14)
    aged = MethodSettings(apply_season=False)
    quarter = make_quarter(answers=(answers,))

    account = compute(make_inputs(quarters=(quarter,), quits=quits, settings=aged))
    plain = compute(make_inputs(quarters=(quarter,)))

    gross = account.figure("gross", "food").alike
    assert gross.value / plain.figure("gross", "food").alike.value == pytest.approx(0.838475, rel=1e-4)
    assert gross.ageing_error == pytest.approx(gross.value * 14 * 0.0030674, rel=1e-4)
    assert "ageing_not_applied" in notes_of(plain)
    assert not {"ageing_assumed", "ageing_not_applied"} & notes_of(account)


def test_the_assumed_rate_is_said():
    assert "ageing_assumed" in notes_of(compute(make_inputs(settings=MethodSettings())))


def seasonal(*answers, households=90):
    exposure = make_exposure(households=households, days=91 * households)
    quarter = make_quarter(exposure=(exposure,), answers=answers)
    return compute(make_inputs(quarters=(quarter,), settings=MethodSettings(apply_ageing=False)))


def test_few_answers_about_the_quarter_are_moved_by_the_index():
    account = seasonal(yard_answers(1), yard_answers(2))

    # Asked about winter: x (4.4/12) / (1.5/12); asked about the quarter itself: as it is. 10 L at 0.1483 kg/L.
    weekly = 10 * 0.1483 * (6 * 4.4 / 1.5 + 6) / 12
    yard = account.figure("gross", "yard").alike
    moved = yard.value * 4.4 / (4.4 + 1.5)
    assert yard.value == pytest.approx(90 * 13 * weekly / 1000)
    # Both quarters' indices are off by a fifth, independently.
    assert yard.season_error == pytest.approx(0.2 * moved * 2**0.5)
    assert "season_assumed" in notes_of(account)


def test_a_hundred_answers_about_the_quarter_speak_for_themselves():
    one_short = seasonal(yard_answers(1, count=12), yard_answers(2, count=99), households=200)
    account = seasonal(yard_answers(1, count=12), yard_answers(2, count=100), households=200)

    assert account.figure("gross", "yard").alike.value == pytest.approx(200 * 13 * 10 * 0.1483 / 1000)
    assert account.figure("gross", "yard").alike.season_error == 0
    assert one_short.figure("gross", "yard").alike.season_error > 0
    assert "season_assumed" in notes_of(one_short)
    assert not {"season_assumed", "season_not_applied", "interval_too_short"} & notes_of(account)


def test_everything_fits_into_json_unrounded():
    account = compute(make_inputs(quarters=(make_quarter(answers=(full_trash(prior=Prior.NEW),)),)))

    kept = json.loads(json.dumps(account.to_dict(), allow_nan=False))

    assert kept["figures"][0]["alike"]["value"] == account.figures[0].alike.value
    assert kept["figures"][0]["stream"] == "food"
    assert kept["working"]["steps"][6]["title"] == "Total"


def test_the_working_is_a_table_with_sources():
    table = compute(make_inputs()).working.as_table()

    assert table[0] == ("step", "title", "what", "value", "unit", "source", "checked")
    assert {len(row) for row in table} == {7}
    assert [row[0] for row in table[1:]] == sorted(row[0] for row in table[1:])
    density = next(row for row in table if row[4] == "kg/L")
    assert density[3] == 0.327
    assert density[6] == "assumed"


def test_a_figure_is_found_at_the_odds_shown_and_no_others():
    gross = compute(make_inputs()).figure("gross")

    assert gross.at(2) == gross.headline
    with pytest.raises(KeyError):
        gross.at(3)


def test_a_figure_without_limits_is_said_to_be_known_too_badly():
    inputs = make_inputs()
    estimation = estimate(inputs, inputs.quarters)
    vague = tuple(
        replace(
            figure, alike=replace(figure.alike, lower=None, upper=None, standard_error=9 * figure.alike.value)
        )
        for figure in estimation.figures
    )

    assert "no_interval" in {note.code for note in notes(inputs, replace(estimation, figures=vague))}
    assert "no_interval" not in {note.code for note in notes(inputs, estimation)}


def test_a_place_whose_households_all_returned_their_bin_adds_nothing():
    empty = make_exposure(jurisdiction="B", households=0, days=0)
    quarter = make_quarter(exposure=(make_exposure(), empty))

    account = compute(make_inputs(quarters=(quarter,)))

    assert [part.household_weeks for part in account.parts_by("jurisdiction")] == [130, 0]
    assert account.figure("gross") == compute(make_inputs()).figure("gross")


def test_a_jurisdiction_may_have_its_own_table_of_gas_collection():
    def methane(collection):
        places = (JurisdictionSettings(code="A", collection=collection),)
        quarter = make_quarter(answers=(full_trash(),))
        account = compute(make_inputs(quarters=(quarter,), jurisdictions=places))
        return account.figure("methane_lifetime").alike.value

    typical = ((0, 2, 0.0), (2, 5, 0.5), (5, 15, 0.75), (15, math.inf, 0.85))
    assert methane(typical) == pytest.approx(methane("typical"))
    assert methane(((0, math.inf, 0.5),)) == pytest.approx(0.5 * methane("none"))


def test_weigh_ins_stand_in_place_of_the_density():
    weighed = calibrate([WeighIn(reported_litres=10, measured_kg=4)] * 20)
    inputs = make_inputs(food_weighed=weighed)

    account = compute(inputs)

    ratio = (
        account.figure("gross", "food").alike.value
        / compute(make_inputs()).figure("gross", "food").alike.value
    )
    assert ratio == pytest.approx(0.4 / 0.327)
    assert account.working.steps[8].applied
    assert "20 volunteers" in account.working.steps[8].formula
    assert "weigh_ins_of_volunteers" in notes_of(account)
    assert "weigh_ins_not_applied" not in notes_of(account)


def test_homes_picked_at_random_need_no_word_about_volunteers():
    homes = [WeighIn(reported_litres=10, measured_kg=3)] * 20
    weighed = calibrate(homes, picked_at_random=True, homes_picked=30)

    found = notes_of(compute(make_inputs(yard_weighed=weighed)))
    assert not {"weigh_ins_of_volunteers", "weigh_ins_not_applied"} & found
