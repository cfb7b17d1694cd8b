"""What each answer contributes to each quantity: a straight line in its reported amounts (steps 3 to 5).

For every cell and each of the 16 quantities (four measures of four amounts) there are two lines
a + b·amount: one for the value, with missing amounts and shares filled in, and one for its influence on the
total, whose spread also carries the error of filling in. Where nothing is missing the two are the same.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from diversion.columns import AMOUNTS, MATERIAL_OF_AMOUNT, AnswerColumns, Flags, Indices
from diversion.figures import Measure
from diversion.imputing import pools
from diversion.materials import Material
from diversion.population import Array

MEASURES = tuple(Measure)
ASKED = (Material.FOOD, Material.YARD)
QUANTITIES = len(MEASURES) * AMOUNTS


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lines:
    """a + b·amount for C cells and Q quantities, Q a multiple of the four amounts, which come in turn.

    Parameters
    ----------
    constant, slope : array, shape (C, Q)
    """

    constant: Array
    slope: Array

    def times(self, factor: Array) -> "Lines":
        """The same lines multiplied; `factor` of shape (C, Q) or broadcast to it."""
        return Lines(constant=self.constant * factor, slope=self.slope * factor)

    def weekly(self, columns: AnswerColumns) -> Array:
        """ΣTu of each cell, shape (C, Q)."""
        times = self.slope.shape[1] // AMOUNTS
        amounts = np.tile(columns.first[:, 1 + MATERIAL_OF_AMOUNT], times)
        return self.constant * columns.first[:, :1] + self.slope * amounts

    @classmethod
    def beside(cls, several: Sequence["Lines"]) -> "Lines":
        """Several sets of lines of the same cells as one."""
        return cls(
            constant=np.concatenate([lines.constant for lines in several], axis=1),
            slope=np.concatenate([lines.slope for lines in several], axis=1),
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Contributions:
    """Values and influences of all 16 quantities, measure by measure.

    Parameters
    ----------
    value, influence : Lines
        C cells by 16: gross, landfill-bound, additional, composted before; each of food by volume, food by
        weight, yard trimmings by volume, by weight. Litres per week for volumes, kilograms for weights.
        Landfill-bound is what went to trash, before the landfilled share of the jurisdiction.
    gaps : array, shape (C, 16)
        ΣTug, with g the months that the amount was aged by.
    known : array, shape (C, 16)
        Answers whose amount is known, and not filled in.
    nobody_gave : tuple of str
        What some answer lacks and nobody at all gave; it counts as 0.
    """

    value: Lines
    influence: Lines
    gaps: Array
    known: Array
    nobody_gave: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Share:
    value: Array  # (C, 4)
    influence: Array  # (C, 4)
    nobody_gave: tuple[str, ...] = ()


def contributions(
    columns: AnswerColumns, *, multipliers: Array, given: Flags, densities: Array, band_of_group: Indices
) -> Contributions:
    """Draw the lines of one quarter.

    Parameters
    ----------
    columns : AnswerColumns
    multipliers : array, shape (C, 2)
        What ageing and season multiply the reported food and yard trimmings by.
    given : array of bool, shape (C, 2)
        Whether the amount counts as given; that of others who still compost is filled in.
    densities : array, shape (4,)
        Kilograms per unit of each amount, to weigh volumes and weights together in the shares.
    band_of_group : array of int, shape (H,)

    Source
    ------
    Share not given: π = ΣTys/ΣTy over those who gave it, q = their part of ΣTy, and
    u = πy + [given] y(s - π)/q, the two-phase linearisation. The same form serves a missing amount.
    """
    levels = (columns.group, band_of_group[columns.group], np.zeros_like(columns.group))
    gross = _gross(columns, multipliers=multipliers, given=given, levels=levels)
    kilograms = gross.value.weekly(columns) * densities
    by_material = kilograms[:, ::2] + kilograms[:, 1::2]
    trash = _share(columns, 0, "share to trash", by_material, levels)
    composted = _share(columns, 1, "share composted before", by_material, levels)
    new = columns.is_new[:, None]
    shares = (trash, _Share(value=trash.value * new, influence=trash.influence * new), composted)
    return Contributions(
        value=Lines.beside([gross.value, *(gross.value.times(share.value) for share in shares)]),
        influence=Lines.beside(
            [gross.influence, *(gross.influence.times(share.influence) for share in shares)]
        ),
        gaps=np.concatenate([gross.gaps, *(gross.gaps * share.value for share in shares)], axis=1),
        known=np.tile(gross.known, len(MEASURES)),
        nobody_gave=gross.nobody_gave + trash.nobody_gave + composted.nobody_gave,
    )


def _gross(
    columns: AnswerColumns, *, multipliers: Array, given: Flags, levels: Sequence[Indices]
) -> Contributions:
    weeks = columns.first[:, 0]
    value, influence, gaps, nobody = [], [], [], []
    for number, material in enumerate(ASKED):
        known = given[:, number] & columns.still
        pool = pools(levels=levels, given=known, weight=weeks * columns.still, answers=columns.answers)
        nobody += [f"{material} amount"] * pool.nobody
        for amount in np.flatnonzero(number == MATERIAL_OF_AMOUNT):
            slope = multipliers[:, number] * (columns.in_unit[:, amount] & known)
            weekly = slope * columns.first[:, 1 + number]
            mean = pool.ratio(weekly, weeks * known)
            filled = mean * (columns.still & ~known)
            value.append((filled, slope))
            influence.append((filled + known * (mean - mean / pool.part_given), slope / pool.part_given))
            mean_gap = pool.ratio(weekly * columns.gap_months, weeks * known)
            gaps.append(weekly * columns.gap_months + mean_gap * weeks * (columns.still & ~known))
    return Contributions(
        value=_lines(value),
        influence=_lines(influence),
        gaps=np.column_stack(gaps),
        known=(columns.answers[:, None] * (given | ~columns.still[:, None]))[:, MATERIAL_OF_AMOUNT],
        nobody_gave=tuple(nobody),
    )


def _lines(columns: Sequence[tuple[Array, Array]]) -> Lines:
    constants, slopes = zip(*columns, strict=True)
    return Lines(constant=np.column_stack(constants), slope=np.column_stack(slopes))


def _share(columns: AnswerColumns, which: int, name: str, weekly: Array, levels: Sequence[Indices]) -> _Share:
    value, influence, nobody = [], [], []
    for number, material in enumerate(ASKED):
        share = columns.shares[which][:, number]
        given = ~np.isnan(share)
        share = np.where(given, share, 0.0)
        pool = pools(levels=levels, given=given, weight=weekly[:, number], answers=columns.answers)
        nobody += [f"{material} {name}"] * pool.nobody
        usual = pool.ratio(weekly[:, number] * share, weekly[:, number] * given)
        value.append(np.where(given, share, usual))
        influence.append(usual + given * (share - usual) / pool.part_given)
    return _Share(
        value=np.column_stack(value)[:, MATERIAL_OF_AMOUNT],
        influence=np.column_stack(influence)[:, MATERIAL_OF_AMOUNT],
        nobody_gave=tuple(nobody),
    )
