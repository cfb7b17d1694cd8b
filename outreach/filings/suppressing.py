"""Small counts are never published: small places are merged until nobody can work one out from the totals.

The policy is set by LOAMBOOK_SMALLEST_COUNT. Which parts are merged depends on the counts alone, and every
total that stays published is a sum over whole groups.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from diversion.figures import Part, PartFigure

OTHER = "other"
# In place of a number of answers that is not shown.
NOT_SHOWN = -1


@dataclass(frozen=True, slots=True)
class Bounds:
    """What somebody who knows the rule can say of a merged count: not less than, and not more than."""

    low: int
    high: float


def merged_codes(counts: Mapping[str, int], *, smallest: int) -> frozenset[str]:
    """Which of the parts of one published total must be merged into one row.

    Parameters
    ----------
    counts : mapping
        Households by part; their sum is published.
    smallest : int
        The smallest count that may be shown, at least 1.

    Returns
    -------
    frozenset of str
        Empty where every count may be shown. Else the small ones, and the next larger ones until whoever knows
        the total, the rule and which parts are small cannot tell a small one from 0 or from `smallest` - 1; all
        of them where that takes all.
    """
    merged = {code for code, count in counts.items() if 0 < count < smallest}
    if not merged:
        return frozenset()
    larger = sorted((count, code) for code, count in counts.items() if code not in merged and count)
    small = set(merged)
    while larger and not _hidden(counts, small, merged, smallest):
        merged.add(larger.pop(0)[1])
    return frozenset(merged)


def _hidden(counts: Mapping[str, int], small: set[str], merged: set[str], smallest: int) -> bool:
    known = {
        code: Bounds(0, smallest - 1) if code in small else Bounds(smallest, float("inf")) for code in merged
    }
    total = sum(counts[code] for code in merged)
    for code in small:
        others = [bounds for other, bounds in known.items() if other != code]
        most = min(known[code].high, total - sum(bounds.low for bounds in others))
        least = max(known[code].low, total - sum(bounds.high for bounds in others))
        if (least, most) != (0, smallest - 1):
            return False
    return True


def published(parts: Iterable[Part], *, smallest: int) -> tuple[Part, ...]:
    """Parts of one dimension as they may be published; districts are merged within their jurisdiction.

    The answers of a part are shown only where all parts have `smallest` at least.
    """
    within: dict[str, list[Part]] = defaultdict(list)
    listed = list(parts)
    for part in listed:
        within[_whole_of(part)].append(part)
    shown = [one for whole, its in within.items() for one in _published(whole, its, smallest)]
    if any(part.answers < smallest for part in shown):
        return tuple(replace(part, answers=NOT_SHOWN) for part in shown)
    return tuple(shown)


def _whole_of(part: Part) -> str:
    """The published total that a part belongs to: a district's jurisdiction, else everything."""
    return part.code.partition("/")[0] if part.dimension == "district" else ""


def _published(whole: str, parts: list[Part], smallest: int) -> list[Part]:
    merged = merged_codes({part.code: part.households for part in parts}, smallest=smallest)
    if not merged:
        return parts
    kept = [part for part in parts if part.code not in merged]
    others = [part for part in parts if part.code in merged]
    return [*kept, _sum_of(others, f"{whole}/{OTHER}" if whole else OTHER)]


def _sum_of(parts: list[Part], code: str) -> Part:
    return Part(
        dimension=parts[0].dimension,
        code=code,
        households=sum(part.households for part in parts),
        household_weeks=sum(part.household_weeks for part in parts),
        answers=sum(part.answers for part in parts),
        figures=tuple(_figure_of(same) for same in zip(*(part.figures for part in parts), strict=True)),
    )


def _figure_of(same: tuple[PartFigure, ...]) -> PartFigure:
    """Values add up; the error of the sum is at most the sum of the errors, as the answers are the same."""
    return replace(
        same[0],
        alike=sum(one.alike for one in same),
        headline=sum(one.headline for one in same),
        nothing=sum(one.nothing for one in same),
        standard_error=sum(one.standard_error for one in same),
    )
