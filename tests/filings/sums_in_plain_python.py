"""The sums of the method (docs/method.md) in plain Python, from what households said and nothing of the site's code.

Sources: US gallon and cubic foot in litres as NIST Handbook 44, appendix C, defines them; a mean month of
365.2425 / 12 days for 'a month'; densities 0.327 and 0.1483 kg/L as the method's first factor set states them.
"""

import datetime
import math
from collections import defaultdict
from dataclasses import dataclass

GALLON, CUBIC_FOOT = 3.785411784, 28.316846592
LITRES = {
    "quart": GALLON / 4,
    "kitchen-pail": GALLON,
    "five-gallon-bucket": 5 * GALLON,
    "paper-yard-bag": 30 * GALLON,
    "wheelbarrow": 6 * CUBIC_FOOT,
}
FILLS = {"full": 1.0, "three_quarters": 0.75, "half": 0.5, "quarter": 0.25}
TRASH = {"trash": 1.0, "half trash, half green cart": 0.5, "green cart": 0.0, "composted": 0.0}
WEEKS_A_MONTH = 365.2425 / 12 / 7
DENSITY = {"food": 0.327, "yard": 0.1483}
MONTH_DAYS = 365.25 / 12  # of ages and bands
LAG_DAYS, FIRST_WAVE_DAYS = 14, 91
ODDS = 2.0


@dataclass
class Row:
    """One household in the quarter: its weeks, stratum and, where it answered, what counts of it."""

    stratum: tuple[str, int]
    weeks: float
    answer: object | None
    gap_months: int = 0
    is_about_the_quarter: bool = False
    is_unasked: bool = False


def rows_of(homes, log, *, first, after, cut):
    """The households with a bin in use between two days; answers dated before `cut`."""
    rows = []
    for number, home in homes.items():
        began = max(home.handed_on + datetime.timedelta(days=LAG_DAYS), first)
        ended = min(home.moved_on or after, after)
        if ended <= began:
            continue
        middle = (began.toordinal() + ended.toordinal()) / 2
        age_years = (middle - home.handed_on.toordinal()) / 365
        answer = log.get(number)
        if answer is not None and (answer.is_absurd or answer.on >= cut):
            answer = None
        row = Row((home.family, 0 if age_years <= 0.5 else 1), (ended - began).days / 7, answer)
        if answer is not None:
            gap = (middle - answer.on.toordinal()) / MONTH_DAYS
            row.gap_months = max(math.floor(gap + 0.5), 0)
            row.is_about_the_quarter = _quarter_asked(answer.on) == (first.year, (first.month + 2) // 3)
        elif number not in log:
            row.is_unasked = (cut - home.handed_on).days <= FIRST_WAVE_DAYS
        rows.append(row)
    return rows


def _quarter_asked(on):
    """The quarter of the month before the answer, by its middle: half a month back."""
    month, year = (on.month, on.year) if on.day > 15 else (on.month - 1, on.year)
    return (year, (month + 2) // 3) if month else (year - 1, 4)


def quitting_rate(homes, log, *, cut):
    """Mean of the likelihood of 0, 0.001 … 0.060 a month, each with the share that began at its best."""
    seen = defaultdict(lambda: [0, 0])
    for number, answer in log.items():
        if not answer.is_absurd and answer.on < cut:
            months = int((answer.on - homes[number].handed_on).days / (487 / 16))
            seen[months][answer.composting == "stopped"] += 1
    grid = [step / 1000 for step in range(61)]
    best = [
        max(_log_likelihood(seen, rate, began) for began in _shares_near_the_best(seen, rate))
        for rate in grid
    ]
    weight = [math.exp(one - max(best)) for one in best]
    return sum(w * rate for w, rate in zip(weight, grid, strict=True)) / sum(weight)


def _shares_near_the_best(seen, rate):
    """Golden section on (0, 1): the likelihood has one top there."""
    low, high, ratio = 1e-9, 1 - 1e-9, (math.sqrt(5) - 1) / 2
    for _step in range(80):
        left, right = high - ratio * (high - low), low + ratio * (high - low)
        if _log_likelihood(seen, rate, left) < _log_likelihood(seen, rate, right):
            low = left
        else:
            high = right
    return [(low + high) / 2]


def _log_likelihood(seen, rate, began):
    total = 0.0
    for months, (still, stopped) in seen.items():
        kept = began * math.exp(-rate * months)
        total += still * math.log(kept) + (stopped * math.log(1 - kept) if stopped else 0)
    return total


def figures(rows, rate):
    """Tonnes of food and yard trimmings: gross and landfill-bound, if the silent are alike, cautious, or nothing."""
    groups = defaultdict(list)
    for row in rows:
        groups[row.stratum].append(row)
    weeks = {key: sum(row.weeks for row in group) for key, group in groups.items()}
    still = {key: _share_still(group) for key, group in groups.items()}
    composting = sum(weeks[key] * still[key] for key in groups) / sum(weeks.values())
    told = {}
    for material in ("food", "yard"):
        alike = nothing = bound_alike = bound_nothing = 0.0
        for key, group in groups.items():
            per_week, to_trash = _rate(group, material, rate)
            answered = sum(row.weeks for row in group if row.answer)
            alike += weeks[key] * per_week
            nothing += answered * per_week
            bound_alike += weeks[key] * per_week * to_trash
            bound_nothing += answered * per_week * to_trash
        told[material] = {
            "gross": _under_silence(alike, nothing, composting),
            "landfill_bound": _under_silence(bound_alike, bound_nothing, composting),
        }
    return told


def _share_still(group):
    answers = [row.answer for row in group if row.answer]
    return sum(answer.composting != "stopped" for answer in answers) / len(answers)


def _rate(group, material, rate):
    """Kilograms a household-week of a stratum, and the share of them that went to trash before."""
    answered = [row for row in group if row.answer]
    known = [row for row in answered if row.answer.composting != "stopped" and _counts(row, material)]
    kilograms = {id(row): _kilograms(row, material, rate) for row in known}
    usual = sum(row.weeks * kilograms[id(row)] for row in known) / sum(row.weeks for row in known)
    total = of_given = to_trash = 0.0
    for row in answered:
        if row.answer.composting == "stopped":
            continue
        mine = row.weeks * kilograms.get(id(row), usual)
        total += mine
        if row.answer.before:
            of_given += mine
            to_trash += mine * TRASH[row.answer.before]
    return total / sum(row.weeks for row in answered), to_trash / of_given


def _counts(row, material):
    """Yard trimmings are a season's: only what was said of a month in the quarter itself counts."""
    return material == "food" or row.is_about_the_quarter


def _kilograms(row, material, rate):
    container, count, fill = getattr(row.answer, material)
    litres = LITRES[container] * count * FILLS[fill] / (WEEKS_A_MONTH if material == "yard" else 1)
    # Kept as whole millilitres, summed as whole decilitres.
    decilitres = (round(litres * 1000) + 50) // 100
    return decilitres / 10 * DENSITY[material] * math.exp(-rate * row.gap_months)


def _under_silence(alike, nothing, composting):
    """In tonnes; the silent have half of the answerers' odds of composting where the filing is cautious."""
    ratio = 1 / (composting + ODDS * (1 - composting))
    return {
        "alike": alike / 1000,
        "headline": (nothing + (alike - nothing) * ratio) / 1000,
        "nothing": nothing / 1000,
    }
