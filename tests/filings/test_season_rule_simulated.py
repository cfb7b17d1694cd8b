"""From how many answers on a quarter's own tell of its yard trimmings: invented programmes, without the database.

Households and answers of `invented_households`, summed into cells here; simulations of our own, no source.
"""

import datetime
from collections import Counter
from types import SimpleNamespace

import numpy as np
import pytest

from diversion.account import compute
from diversion.cells import Prior, QuitCount
from diversion.factors import load
from diversion.figures import Measure, Stream
from diversion.inputs import AccountInputs, JurisdictionSettings, MethodSettings, Quarter
from tests.factories.diversion import Answer, make_cells, make_exposure, make_quarter
from tests.filings.invented_households import (
    AFTER,
    FIRST_DAY,
    LAG,
    LAST_ENTRY,
    WAVES,
    _answer,
    _before,
    invent,
)

OLDEST, CUT = datetime.date(2024, 1, 1).toordinal(), AFTER + 45
WAVES_ASKED = [SimpleNamespace(months_after=months) for months in WAVES]
SEED, SIZE = 20250701, 300


def quarter_asked(day: int) -> int:
    return (datetime.date.fromordinal(day - 15).month + 2) // 3


def programme(number: int) -> tuple[AccountInputs, float]:
    """Inputs of one programme, and its true tonnes."""
    g = np.random.default_rng([SEED, number])
    invented = invent(g, size=SIZE)
    exposed, rows, quits = Counter(), [], Counter()
    for household in range(SIZE):
        shares = _before(invented, household) if g.random() < 0.85 else {}
        said = [one for wave in WAVES_ASKED if (one := _answer(invented, household, wave, g))]
        given = [(one["answered_on"].toordinal(), one) for one in said]
        given = [(day, one) for day, one in given if day < CUT]
        for day, one in given:
            quits[(day - int(invented.handed[household])) * 16 // 487, one["composting"] == "yes"] += 1
        stay = _stay(invented, household)
        if stay is None:
            continue
        days, middle, place = stay
        exposed[tuple(place.items())] += 1
        exposed[tuple(place.items()), "days"] += days
        in_force = max((pair for pair in given if pair[0] >= OLDEST), key=lambda pair: pair[0], default=None)
        if in_force:
            rows.append(
                _row(in_force, days=days, middle=middle, key=place | shares, prior=invented.prior[household])
            )
    exposure = tuple(
        make_exposure(**dict(key), households=count, days=exposed[key, "days"])
        for key, count in exposed.items()
        if "days" not in key
    )
    quarter = make_quarter(exposure=exposure, answers=make_cells(rows))
    inputs = AccountInputs(
        quarters=(quarter,),
        jurisdictions=tuple(JurisdictionSettings(code=code) for code in ("0", "1")),
        factors=load("2026-1"),
        quits=tuple(
            QuitCount(months=months, still=quits[months, True], stopped=quits[months, False])
            for months in {months for months, _ in quits}
        ),
    )
    return inputs, invented.gross_tonnes


def _stay(invented, household):
    start = int(invented.handed[household]) + LAG
    returned = int(invented.returned[household])
    begun, ended = max(start, FIRST_DAY), min(returned if returned < LAST_ENTRY else AFTER, AFTER)
    if ended <= begun:
        return None
    months = (begun + ended) / 2 - (start - LAG)
    place = {
        "jurisdiction": str(invented.place[household]),
        "district": "",
        "family": str(invented.family[household]),
        "band": sum(months > limit for limit in (182.5, 365, 730)),
    }
    return ended - begun, (begun + ended) / 2, place


def _row(in_force, *, days, middle, key, prior):
    day, said = in_force
    amounts = {name: said.get(f"{name}_ml_per_week") for name in ("food", "yard")}
    return Answer(
        food=round((amounts["food"] or 0) / 100),
        yard=round((amounts["yard"] or 0) / 100),
        days=days,
        key=key
        | {
            "gap_months": round(max(middle - day, 0) * 12 / 365.25),
            "quarter_asked": quarter_asked(day),
            "still_composting": said["composting"] == "yes",
            "food_given": amounts["food"] is not None,
            "yard_given": amounts["yard"] is not None,
            "prior": (Prior.PRIOR, Prior.NEW, Prior.NOT_SAID)[prior],
        },
    )


def held(repetitions: int, fewest: int) -> float:
    """Share of programmes whose stated range of gross holds the truth."""
    found = 0
    for number in range(repetitions):
        inputs, truth = programme(number)
        settings = MethodSettings(season_fewest_answers=fewest)
        account = compute(
            AccountInputs(
                quarters=inputs.quarters,
                jurisdictions=inputs.jurisdictions,
                factors=inputs.factors,
                quits=inputs.quits,
                settings=settings,
            )
        )
        gross = account.figure(Measure.GROSS)
        found += gross.said_lower <= truth <= gross.said_upper
    return found / repetitions


def test_a_programme_of_three_hundred_has_some_fifty_answers_about_the_quarter():
    inputs, truth = programme(0)

    (quarter,) = inputs.quarters
    about = sum(cell.answers for cell in quarter.answers if cell.quarter_asked == 2)
    assert quarter.quarter == Quarter(year=2025, quarter=2)
    assert 30 <= about < 100
    estimate = compute(inputs).figure(Measure.GROSS, Stream.BOTH).alike.value
    assert truth / 2 < estimate < truth * 2


@pytest.mark.slow
def test_from_a_hundred_answers_on_the_range_holds_the_truth_in_nine_of_ten():
    by_rule = {fewest: held(300, fewest) for fewest in (30, 100)}

    print("gross held by the stated range:", {rule: f"{share:.1%}" for rule, share in by_rule.items()})
    assert by_rule[100] >= 0.92
    assert by_rule[30] < by_rule[100] - 0.02
