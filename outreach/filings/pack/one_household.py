"""One household's answer followed step by step, in words and sums, to the filing's headline."""

import math
from collections.abc import Generator, Iterator

from diversion.figures import Figure, Measure
from diversion.linear import MEASURES
from outreach.filings.documents.live.frozen import AnswerLine, Frozen
from outreach.filings.weighed import FIELDS

GROSS = MEASURES.index(Measure.GROSS)
AMOUNTS = 4


def explained(frozen: Frozen) -> str:
    """The first answer whose two amounts count, as a text to be read with a pocket calculator; '' without any."""
    line = next((one for one in frozen.answers() if _is_telling(one, frozen)), None)
    return "" if line is None else "\n".join(_steps(frozen, line)) + "\n"


def _is_telling(line: AnswerLine, frozen: Frozen) -> bool:
    """It gives both amounts, and the yard trimmings of its month count for this quarter."""
    key, rates = line.key, frozen.rates
    if rates.season == "quarter" and key["quarter_asked"] != rates.cells.quarter.quarter:
        return False
    return bool(key["still"] and key["food_given"] and key["yard_given"] and line.food and line.yard)


def _steps(frozen: Frozen, line: AnswerLine) -> Iterator[str]:
    assumptions, rates = frozen.basis.assumptions, frozen.rates
    group = line.group - 1
    ageing = math.exp(-assumptions.quitting.per_month * line.key["gap_months"])
    weeks = line.days / 7
    yield f"One household of {frozen.filing.title}, followed to the headline. Its line has the number {line.number}."
    yield ""
    yield f"1. Days with a bin in use in the quarter: {line.days}, which is {weeks:.6f} weeks."
    yield (
        f"2. Its answer is {line.key['gap_months']} months away from the middle of these days. Of households that "
        f"compost, {assumptions.quitting.per_month:.6f} stop a month, so its amounts count "
        f"exp(-{assumptions.quitting.per_month:.6f} x {line.key['gap_months']}) = {ageing:.9f} of what it said."
    )
    food = yield from _amount(frozen, line, "food", 3, ageing)
    season, words = _season(frozen, line)
    yard = yield from _amount(frozen, line, "yard", 4, ageing * season)
    yield f"   {words}"
    both = weeks * (food + yard)
    yield f"5. In the quarter: {weeks:.6f} weeks x ({food:.9f} + {yard:.9f}) kg = {both:.6f} kg gross."
    yield from _stratum(frozen, group, both)
    gross = _figure(frozen, Measure.GROSS)
    kept = _figure(frozen, Measure.LANDFILL_BOUND)
    yield (
        f"9. Over all {len(rates.groups)} strata the gross comes to {gross.alike.value:.9f} t if the silent are like "
        f"those who answered, and {gross.headline.value:.9f} t at the odds of {frozen.inputs.settings.odds:g} that the "
        f"filing takes. What went to trash before, by what households said, and is landfilled there, is the headline: "
        f"{kept.headline.value:.9f} t. The workbook that recomputes has every step for every answer."
    )


def _amount(
    frozen: Frozen, line: AnswerLine, material: str, number: int, counts: float
) -> Generator[str, None, float]:
    """Says what the household reported of a material; returns what that counts for, in kilograms a week."""
    by_weight = line.key[f"{material}_by_weight"]
    said = getattr(line, material) / (100 if by_weight else 10)
    place = (0 if material == "food" else 2) + (1 if by_weight else 0)
    per_unit = frozen.basis.assumptions.densities[place]
    kilograms = said * per_unit * counts
    name, unit = ("food scraps" if material == "food" else "yard trimmings"), ("kg" if by_weight else "L")
    weighed = getattr(frozen.inputs, FIELDS[material]) is not None
    density = "" if by_weight else f" x {per_unit:.6f} kg/L{' as weighed' if weighed else ''}"
    yield f"{number}. It reported {said:g} {unit} of {name} a week{density} x {counts:.9f} = {kilograms:.9f} kg a week."
    return kilograms


def _season(frozen: Frozen, line: AnswerLine) -> tuple[float, str]:
    index, quarter = frozen.basis.assumptions.index, frozen.rates.cells.quarter.quarter
    asked = line.key["quarter_asked"]
    if frozen.rates.season == "index" and index is not None:
        factor = index.multiplier(to_quarter=quarter, asked=asked)
        return factor, (
            f"That holds the season: asked about quarter {asked}, for quarter {quarter}, x {factor:.9f} of the index."
        )
    return 1.0, "No season is applied to it: it was asked about the quarter itself."


def _stratum(frozen: Frozen, group: int, both: float) -> Iterator[str]:
    rates, densities = frozen.rates, frozen.basis.assumptions.densities
    members = rates.groups[group]
    kg_per_week = sum(
        float(rates.rates.rates[group, GROSS * AMOUNTS + amount]) * densities[amount]
        for amount in range(AMOUNTS)
    )
    answered, exposed = float(rates.answered.sum(axis=1)[group]), float(rates.exposed.sum(axis=1)[group])
    yield (
        f"6. It stands in stratum {group + 1}: {members.answers} answers of {members.households} households. All its "
        f"answers together: {answered * kg_per_week:.6f} kg in {answered:.6f} household-weeks, of which these "
        f"{both:.6f} kg are one. That is {kg_per_week:.9f} kg a household-week."
    )
    yield f"7. All households of the stratum had a bin for {exposed:.6f} household-weeks."
    yield f"8. Gross of the stratum: {exposed:.6f} x {kg_per_week:.9f} / 1000 = {exposed * kg_per_week / 1000:.9f} t."


def _figure(frozen: Frozen, measure: Measure) -> Figure:
    return next(
        one for one in frozen.estimation.figures if (str(one.name), str(one.stream)) == (str(measure), "both")
    )
