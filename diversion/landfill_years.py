"""The two published yearly forms of landfill methane, as references for the closed form.

Filings do not use them: they count in whole calendar years. They agree with the closed form where it can be
asked the same question, and the tests hold it to that.
"""

import math
from collections.abc import Mapping

from diversion.conversions import METHANE_PER_CARBON, MONTHS_PER_YEAR
from diversion.errors import require_within
from diversion.landfill import DecayingMaterial


def ipcc_yearly_methane(
    tonnes_by_year: Mapping[int, float],
    material: DecayingMaterial,
    *,
    last_year: int,
    reaction_start_month: int = MONTHS_PER_YEAR + 1,
) -> dict[int, float]:
    """Methane generated in each calendar year, by the recursion of the IPCC spreadsheet model.

    Parameters
    ----------
    tonnes_by_year : mapping of int to float
        Wet waste deposited in each year. [t]
    material : DecayingMaterial
    last_year : int
        The last year to report.
    reaction_start_month : int
        M, 1 to 13, counted from January of the year of disposal: 13 is a delay of six months on average, so
        that decay starts on 1 January of the next year.

    Returns
    -------
    dict of int to float
        Year to tonnes of CH4 generated, before recovery and oxidation.

    Raises
    ------
    OutOfRange
        If M is not between 1 and 13.

    Source
    ------
    IPCC 2006 Guidelines, Vol. 5, Ch. 3, eq. 3.2 to 3.6 and Annex 3A.1, recalled and not looked up.
    """
    months = MONTHS_PER_YEAR + 1 - reaction_start_month
    require_within("reaction_start_month", reaction_start_month, 1, MONTHS_PER_YEAR + 1)
    kept_in_year = math.exp(-material.k * months / MONTHS_PER_YEAR)
    accumulated, generated = 0.0, {}
    for year in range(min(tonnes_by_year, default=last_year), last_year + 1):
        DDOCmd = tonnes_by_year.get(year, 0.0) * material.doc * material.docf * material.mcf
        decomposed = DDOCmd * (1 - kept_in_year) + accumulated * (1 - math.exp(-material.k))
        accumulated = DDOCmd * kept_in_year + accumulated * math.exp(-material.k)
        generated[year] = decomposed * material.methane_fraction * METHANE_PER_CARBON
    return generated


def subpart_hh_methane(
    tonnes_by_year: Mapping[int, float], material: DecayingMaterial, *, year: int
) -> float:
    """Methane generated in one calendar year by the waste of all years before it.

    Parameters
    ----------
    tonnes_by_year : mapping of int to float
        Wet waste deposited in each year. [t]
    material : DecayingMaterial
    year : int
        The reporting year (T).

    Returns
    -------
    float
        [t CH4], before recovery and oxidation.

    Source
    ------
    40 CFR 98.343, equation HH-1: variables and defaults seen, the algebra recalled.
    """
    L0 = material.doc * material.docf * material.mcf * material.methane_fraction * METHANE_PER_CARBON
    return L0 * math.fsum(
        tonnes * (math.exp(-material.k * (year - x - 1)) - math.exp(-material.k * (year - x)))
        for x, tonnes in tonnes_by_year.items()
        if x < year
    )
