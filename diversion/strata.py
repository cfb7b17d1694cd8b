"""Joining thin strata, so that every group that is estimated has enough answers (step 6)."""

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TypeVar

from diversion.errors import DiversionError
from diversion.rounding import counted
from diversion.settings import FEWEST_ANSWERS

Key = TypeVar("Key", bound=Hashable)


class TooFewAnswers(DiversionError):
    """There are too few answers in all for any estimate.

    Attributes
    ----------
    answers, needed : int
    """

    def __init__(self, *, answers: int, needed: int = FEWEST_ANSWERS) -> None:
        self.answers, self.needed = answers, needed
        super().__init__(
            f"{counted(answers, 'answer')} in force {'is' if answers == 1 else 'are'} too few for an estimate: "
            f"{needed} are needed at least. "
            f"Chase answers by phone or letter; the counts stand without them."
        )


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class CellKey:
    """A stratum before joining; the order of the fields is the code order of step 6."""

    jurisdiction: str
    family: str
    band: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CellCount:
    """Answers (n) and households (N) of one stratum before joining."""

    key: CellKey
    answers: int
    households: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Strata that are estimated as one.

    Parameters
    ----------
    cells : tuple of CellCount
        In code order.
    bands : tuple of int
        The whole bands that it was formed within; shares that too few gave are taken from there.
    """

    cells: tuple[CellCount, ...]
    bands: tuple[int, ...]

    @property
    def answers(self) -> int:
        """n of the group."""
        return _answers(self.cells)

    @property
    def households(self) -> int:
        """N of the group."""
        return sum(cell.households for cell in self.cells)


def join(cells: Iterable[CellCount], *, fewest: int = FEWEST_ANSWERS) -> tuple[Group, ...]:
    """Join thin strata until each group has enough answers.

    Parameters
    ----------
    cells : iterable of CellCount
        Strata with at least one household, each key once.
    fewest : int
        Answers that a group needs; a group with fewer is thin.

    Returns
    -------
    tuple of Group
        Youngest band first; every stratum is in exactly one group.

    Raises
    ------
    TooFewAnswers
        If all strata together are thin.

    Notes
    -----
    A band that is thin as a whole joins the next older band, the oldest the next younger, and the two are one
    group. Within any other band: thin families of a jurisdiction join; those still thin join across the band;
    what is then still thin joins the band's largest group, of several the first in code order, where joined families
    come after those of their jurisdiction that stand alone.
    """
    by_key = sorted((cell for cell in cells if cell.households), key=lambda cell: cell.key)
    if _answers(by_key) < fewest:
        raise TooFewAnswers(answers=_answers(by_key), needed=fewest)
    groups: list[Group] = []
    for bands, members in _bands_joined(by_key, fewest):
        joined = [members] if len(bands) > 1 else _joined_within(members, fewest)
        groups += [Group(cells=tuple(sorted(group, key=_code)), bands=bands) for group in joined]
    return tuple(groups)


def _bands_joined(cells: Sequence[CellCount], fewest: int) -> list[tuple[tuple[int, ...], list[CellCount]]]:
    blocks: list[tuple[tuple[int, ...], list[CellCount]]] = []
    waiting: tuple[tuple[int, ...], list[CellCount]] = ((), [])
    for band, members in _grouped(sorted(cells, key=_band), _band).items():
        waiting = ((*waiting[0], band), waiting[1] + members)
        if _answers(waiting[1]) >= fewest:
            blocks.append(waiting)
            waiting = ((), [])
    if waiting[1]:  # the oldest bands are thin: they join the next younger
        bands, members = blocks.pop()
        blocks.append((bands + waiting[0], members + waiting[1]))
    return blocks


def _joined_within(cells: Sequence[CellCount], fewest: int) -> list[list[CellCount]]:
    groups = [[cell] for cell in cells if cell.answers >= fewest]
    thin = [cell for cell in cells if cell.answers < fewest]
    still_thin: list[CellCount] = []
    for members in _grouped(thin, lambda cell: cell.key.jurisdiction).values():
        if _answers(members) >= fewest:
            groups.append(members)
        else:
            still_thin += members
    groups.sort(key=lambda group: (group[0].key.jurisdiction, len(group) > 1, group[0].key.family))
    if _answers(still_thin) >= fewest:
        groups.append(still_thin)
    elif still_thin:
        max(groups, key=_answers).extend(still_thin)  # the first of the largest: groups are in code order
    return groups


def _grouped(cells: Iterable[CellCount], key: Callable[[CellCount], Key]) -> Mapping[Key, list[CellCount]]:
    return {name: list(members) for name, members in groupby(cells, key)}


def _answers(cells: Iterable[CellCount]) -> int:
    return sum(cell.answers for cell in cells)


def _band(cell: CellCount) -> int:
    return cell.key.band


def _code(cell: CellCount) -> CellKey:
    return cell.key
