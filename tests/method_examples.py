"""The examples of docs/method.md, each as the sentence that the document prints, computed anew."""

import datetime
from functools import cache

from diversion.account import compute
from diversion.account_draws import draw_account
from diversion.calibration import WeighIn, calibrate
from diversion.cells import Prior, QuitCount
from diversion.conversions import KG_PER_TONNE
from diversion.factors import LATEST, Precipitation, load
from diversion.inputs import MethodSettings, Quarter
from diversion.landfill import (
    DecayingMaterial,
    GasCollection,
    QuarterOfDiversion,
    lifetime_kg_per_tonne,
    methane_by_calendar_year,
)
from diversion.materials import Material
from diversion.process import CompostingProcess
from diversion.quantities import Period, read_amount
from diversion.retention import quitting_rate
from diversion.season import YardIndex
from diversion.strata import CellCount, CellKey, join
from diversion.terms import silent_ratio
from diversion.warming import (
    MaterialBalance,
    Warming,
    net_warming,
    stored_carbon_kg_co2_per_tonne,
)
from outreach.filings import gathering
from tests.factories.bins import make_stay
from tests.factories.diversion import (
    Answer,
    make_answers,
    make_cells,
    make_exposure,
    make_inputs,
    make_quarter,
)
from tests.factories.followup import make_answer
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction

FACTORS = load(LATEST)
SECOND, THIRD = Quarter(year=2025, quarter=2), Quarter(year=2025, quarter=3)
PLAIN = MethodSettings(apply_ageing=False, apply_season=False)


@cache
def programme(odds: float = 2.0, *, quarters: int = 1, season: bool = False):
    """The running example: one jurisdiction, two strata, ten answers in litres of food a week."""
    mesh = {"prior": Prior.NEW, "food_trash_percent": 100, "food_composted_percent": 0}
    rigid = {"family": "rigid", "food_trash_percent": 50, "food_composted_percent": 25}
    answers = (
        make_answers([Answer(food=10 * litres) for litres in (10, 20, 15, 30)], **mesh),
        make_answers([Answer()], still_composting=False),
        make_answers([Answer(food=10 * litres) for litres in (5, 5, 10, 10, 20)], **rigid),
    )
    exposure = (
        make_exposure(households=10, days=910),
        make_exposure(family="rigid", households=20, days=1820),
    )
    return make_inputs(
        quarters=tuple(
            make_quarter(quarter=quarter, exposure=exposure, answers=answers)
            for quarter in (SECOND, THIRD)[:quarters]
        ),
        settings=MethodSettings(odds=odds, apply_ageing=False, apply_season=season),
    )


def material(which: Material) -> DecayingMaterial:
    return DecayingMaterial.of(which, factors=FACTORS, precipitation=Precipitation.BETWEEN)


def typical() -> GasCollection:
    return GasCollection.preset("typical", factors=FACTORS)


def exposure_example() -> list[str]:
    household = make_household(jurisdiction=make_jurisdiction())
    make_stay(household=household, from_day=datetime.date(2025, 4, 10).toordinal())
    make_answer(household=household, answered_on=datetime.date(2025, 6, 20))
    cells = gathering.gather_quarter(
        SECOND, scope=gathering.Scope(jurisdiction=None), cut_off=datetime.date(2025, 8, 14)
    )
    (exposed,), (answered,) = cells.exposure, cells.answers
    return [
        f"A bin goes home on 10 April 2025 and stays in use. It counts from 24 April, and in the second quarter "
        f"for {exposed.days} days, which are {exposed.days / 7:.2f} household-weeks.",
        f"The household of step 1 answers on 20 June 2025. The middle of its exposed days is in May, before the "
        f"answer, so the gap is {answered.gap_months:.0f} months; the yard question was about calendar quarter "
        f"{answered.quarter_asked}.",
    ]


def ageing_example() -> str:
    counts = [
        QuitCount(months=months, still=still, stopped=100 - still)
        for months, still in ((6, 82), (12, 75), (24, 64), (36, 57))
    ]
    rate = quitting_rate(counts)
    answer = make_answers([Answer(food=100)] * 5, gap_months=14)
    inputs = {"quarters": (make_quarter(answers=(answer,)),), "quits": tuple(counts)}
    aged = compute(make_inputs(**inputs, settings=MethodSettings(apply_season=False)))
    plain = compute(make_inputs(**inputs, settings=PLAIN))
    counted = aged.figure("gross").alike.value / plain.figure("gross").alike.value
    return (
        f"Of 100 households asked at each of 6, 12, 24 and 36 months, 82, 75, 64 and 57 still compost. Then "
        f"λ = {rate.per_month:.5f} a month with a standard error of {rate.standard_error:.5f}, and an amount "
        f"reported 14 months ago counts {counted:.4f} of itself."
    )


def season_example() -> str:
    index = YardIndex.from_months(FACTORS.yard_index_by_month)
    first, second, third, fourth = index.by_quarter
    moved = 10 * index.multiplier(to_quarter=2, asked=1)
    return (
        f"The assumed index of the four quarters is {first:.3f}, {second:.3f}, {third:.3f} and {fourth:.3f}. Ten "
        f"litres a week reported about January speak for {moved:.2f} litres a week in the second quarter."
    )


def share_example() -> list[str]:
    told = ((4, 100), (2, 50), (0, None), (6, 20), (1, 100), (3, None), (5, 40), (0, None), (2, 0), (2, 100))
    rows = [
        Answer(food=10 * litres, key={"food_trash_percent": share, "food_composted_percent": share and 0})
        for litres, share in told
    ]
    account = compute(make_inputs(quarters=(make_quarter(answers=make_cells(rows)),)))
    share = account.figure("landfill_bound").alike.value / account.figure("gross").alike.value
    given = [share / 100 for litres, share in told if litres and share is not None]
    gross, bound, additional, before = (
        KG_PER_TONNE * compute(programme()).figure(name).alike.value
        for name in ("gross", "landfill_bound", "additional", "composted_before")
    )
    return [
        f"Ten households report 4, 2, 0, 6, 1, 3, 5, 0, 2 and 2 litres; seven of those with an amount say that 100, "
        f"50, 20, 100, 40, 0 and 100 % of it went to trash, the one with 3 litres does not say. Weighed by amount, "
        f"π = {share:.4f}, and {100 * share:.1f} % of everything counts as trash. The plain mean of the seven "
        f"shares, {sum(given) / len(given):.4f}, would be too high, for those with large amounts gave low shares.",
        f"In the running example, if the silent are alike, G = {gross:,.2f} kg, L = {bound:,.2f} kg, "
        f"A = {additional:,.2f} kg and K = {before:,.2f} kg.",
    ]


def joining_example() -> str:
    cells = [
        CellCount(key=CellKey(jurisdiction="A", family=family, band=1), answers=answers, households=20)
        for family, answers in (("mesh", 3), ("rigid", 2), ("tumbler", 7))
    ]
    sizes = sorted(group.answers for group in join(cells))
    return (
        f"In one band of one jurisdiction, mesh bins have 3 answers, rigid ones 2 and tumblers 7. Mesh and rigid "
        f"join; there are {len(sizes)} groups, of {sizes[0]} and {sizes[1]} answers."
    )


def total_example() -> str:
    account = compute(programme())
    alike = account.figure("gross").alike
    mesh, rigid = account.strata
    density = FACTORS.food_density.value
    return (
        f"The weekly rates are {mesh.gross_food_kg_per_week / density:.1f} and "
        f"{rigid.gross_food_kg_per_week / density:.1f} litres, the exposures {mesh.household_weeks:.0f} and "
        f"{rigid.household_weeks:.0f} household-weeks. At {density} kg a litre, gross is "
        f"{KG_PER_TONNE * alike.value:,.2f} kg with a standard error of {KG_PER_TONNE * alike.standard_error:.2f} "
        f"kg and {alike.degrees_of_freedom:.3f} degrees of freedom; the 90 % interval is "
        f"{KG_PER_TONNE * alike.lower:,.1f} to {KG_PER_TONNE * alike.upper:,.1f} kg."
    )


def silence_example() -> str:
    account = compute(programme())
    gross, p = account.figure("gross"), account.still_composting
    alike, two, four = (KG_PER_TONNE * shown.value for shown in gross.at_odds)
    return (
        f"p = {p:.4f}. The answerers account for {KG_PER_TONNE * gross.nothing:.2f} kg. The silent count "
        f"{silent_ratio(p, 2):.4f} at o = 2 and {silent_ratio(p, 4):.4f} at o = 4, so gross is {alike:,.2f}, "
        f"{two:,.2f} or {four:,.2f} kg at o = 1, 2 or 4. The range to say aloud is "
        f"{KG_PER_TONNE * gross.said_lower:,.1f} to {KG_PER_TONNE * gross.said_upper:,.1f} kg."
    )


def weigh_in_example() -> str:
    litres = (10, 6, 8, 12, 5, 9, 7, 11, 4, 8, 15, 6, 9, 10, 7, 3, 8, 12, 6, 5)
    kilograms = (
        3.1,
        2.2,
        2.0,
        4.4,
        1.1,
        2.5,
        2.6,
        3.0,
        1.5,
        2.1,
        5.2,
        1.4,
        3.3,
        2.9,
        2.2,
        0.6,
        2.8,
        3.5,
        2.1,
        1.2,
    )
    pairs = zip(litres, kilograms, strict=True)
    found = calibrate([WeighIn(reported_litres=said, measured_kg=kg) for said, kg in pairs])
    return (
        f"Twenty homes report {sum(litres)} litres and weigh {sum(kilograms):.1f} kg in the same weeks: "
        f"{found.kg_per_litre:.4f} kg per reported litre, standard error {found.standard_error:.4f}, 90 % limits "
        f"{found.lower:.4f} and {found.upper:.4f}."
    )


def methane_example() -> list[str]:
    food, trimmings = material(Material.FOOD), material(Material.YARD)
    quarters = [QuarterOfDiversion(year=2025, quarter=number, tonnes=10) for number in (1, 2, 3, 4)]
    by_year = methane_by_calendar_year(quarters, food, typical(), first_year=2025, last_year=2027)
    return [
        f"A tonne of food on a site between dry and wet could make {food.potential_kg_per_tonne:.2f} kg of methane; "
        f"with typical collection {lifetime_kg_per_tonne(food, typical()):.2f} kg escape in a hundred years. For "
        f"yard trimmings the two are {trimmings.potential_kg_per_tonne:.2f} and "
        f"{lifetime_kg_per_tonne(trimmings, typical()):.2f} kg.",
        f"Ten tonnes of food in each quarter of 2025 avoid {by_year[2025]:.2f} kg in 2025, {by_year[2026]:.2f} kg "
        f"in 2026 and {by_year[2027]:.2f} kg in 2027; their lifetime view is "
        f"{40 * lifetime_kg_per_tonne(food, typical()):.2f} kg.",
    ]


def net_example() -> list[str]:
    balances = [
        MaterialBalance(
            gross_tonnes=gross,
            landfill_tonnes=landfill,
            composted_before_tonnes=before,
            methane_kg_per_tonne=lifetime_kg_per_tonne(material(which), typical()),
            stored_carbon_kg_per_tonne=stored_carbon_kg_co2_per_tonne(material(which)),
        )
        for which, gross, landfill, before in ((Material.FOOD, 100, 80, 10), (Material.YARD, 60, 15, 30))
    ]
    usual = MethodSettings()
    warming = Warming.under(usual.report, usual.horizon, factors=FACTORS)
    process = CompostingProcess.published(factors=FACTORS)
    net = net_warming(balances, process=process, warming=warming)
    figures = {name: compute(programme()).figure(name).headline.value for name in ("methane_lifetime", "net")}
    return [
        f"Of 100 t of food, 80 t went to trash that is all landfilled and 10 t were composted before; of 60 t of yard "
        f"trimmings, 15 t and 30 t. Avoided: {net.avoided_kg_co2e / KG_PER_TONNE:.4f} t CO2e; given off by composting "
        f"the other 120 t at {warming.of_process(process):.2f} kg CO2e a tonne: "
        f"{net.process_kg_co2e / KG_PER_TONNE:.4f} t; net {net.net_kg_co2e / KG_PER_TONNE:.4f} t CO2e. The memo of "
        f"stored carbon is {net.stored_carbon_kg_co2 / KG_PER_TONNE:.2f} t CO2.",
        f"The running example, filed at o = 2: {figures['methane_lifetime']:.2f} kg of methane over its lifetime, net "
        f"{KG_PER_TONNE * figures['net']:.1f} kg CO2e.",
    ]


def draws_example() -> str:
    gross = draw_account(programme(1.0), seed=1).figure("gross")
    shares = {share.group: share.share for share in gross.shares.groups}
    return (
        f"The running example at o = 1 with seed 1: gross {KG_PER_TONNE * gross.central:,.0f} kg at central values, "
        f"median of the draws {KG_PER_TONNE * gross.median:,.0f} kg, 90 % limits {KG_PER_TONNE * gross.lower:,.0f} and "
        f"{KG_PER_TONNE * gross.upper:,.0f} kg. {100 * shares['who answered']:.0f} % of the variance is who answered, "
        f"{100 * shares['density of food']:.0f} % is the density of food."
    )


def year_example() -> str:
    one, two = (compute(programme(quarters=number)).figure("gross").alike for number in (1, 2))
    return (
        f"Two quarters alike: {KG_PER_TONNE * two.value:,.2f} kg with a standard error of "
        f"{KG_PER_TONNE * two.standard_error:.2f} kg, twice the {KG_PER_TONNE * one.standard_error:.2f} kg of one."
    )


def amount_example() -> str:
    week, month = Period.WEEK, Period.MONTH
    pail = read_amount("half a pail twice a week", material=Material.FOOD, per=week)
    buckets = read_amount("2 five-gallon buckets", material=Material.YARD, per=month)
    pounds = read_amount("3 lb", material=Material.FOOD, per=week)
    return (
        f"'Half a pail twice a week' of food is {pail.millilitres_per_week:,} ml a week; '2 five-gallon buckets' of "
        f"yard trimmings a month are {buckets.millilitres_per_week:,} ml a week; '3 lb' are "
        f"{pounds.grams_per_week:,} g."
    )


EXAMPLES = (
    amount_example,
    ageing_example,
    season_example,
    share_example,
    joining_example,
    total_example,
    silence_example,
    weigh_in_example,
    methane_example,
    net_example,
    draws_example,
    year_example,
)
