"""Computing a filing's figures again from what was frozen with it, and saying where they differ."""

from dataclasses import dataclass
from typing import Any

from diversion.figures import plain
from outreach.filings import (
    composing,
    computing,
    frozen_inputs,
    gathering,
    money_again,
    report,
    site_checks,
    weighed,
)
from outreach.filings.models import Filing

# Sums of floats may differ in the last bits between versions of the numerical library.
RELATIVE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One place where the recomputed filing is not the filed one."""

    where: str
    filed: str
    found: str


def verify(filing: Filing) -> list[Difference]:
    """Compute the filing again.

    Digests; lines to cells exactly; homes to ratios; cells to figures within 1e-9; of money the amounts that follow
    from others of the filing, as printed. The rows behind money are held by the digest alone.
    """
    return [*_digests(filing), *_lines(filing), *_ratios(filing), *_figures(filing), *_money(filing)]


def _digests(filing: Filing) -> list[Difference]:
    pairs = (
        ("inputs", filing.inputs_sha256, report.digest(filing.inputs)),
        ("report", filing.report_sha256, report.digest(filing.report)),
    )
    return [
        Difference(where=f"digest of the {name}", filed=filed, found=found)
        for name, filed, found in pairs
        if filed != found
    ]


def _lines(filing: Filing) -> list[Difference]:
    """The lines behind the filing give the very cells that it was computed from."""
    found = []
    for cells in frozen_inputs.slices_of(filing.inputs):
        again = gathering.cells_from_lines(filing, cells.quarter, cells.span)
        if again != cells:
            found.append(
                Difference(
                    where=f"lines of {cells.span or cells.quarter}",
                    filed=f"{len(cells.exposure)} cells of exposure, {len(cells.answers)} of answers",
                    found=f"{len(again.exposure)} and {len(again.answers)}, or other sums",
                )
            )
    return found


def _ratios(filing: Filing) -> list[Difference]:
    """The homes that weighed give the very ratios that the filing was computed with."""
    again = weighed.calibrations(weighed.weighed_from(filing.inputs.get("weighed")))
    return [
        difference
        for name, ratio in again.items()
        for difference in differences(
            filing.inputs["period"][name], plain(ratio), where=f"ratio of weigh-ins, {name}"
        )
    ]


def _figures(filing: Filing) -> list[Difference]:
    inputs = computing.FilingInputs(
        period=frozen_inputs.from_dict(filing.inputs["period"]),
        year_to_date=frozen_inputs.from_dict(filing.inputs["year_to_date"]),
        following=frozen_inputs.following_from(filing.inputs.get("following")),
        site_checks=site_checks.site_checks_from(filing.inputs.get("site_checks")),
    )
    again = composing.account_of(computing.compute(inputs))
    return [
        difference
        for name in again
        for difference in differences(filing.report["account"][name], again[name], where=name)
    ]


def _money(filing: Filing) -> list[Difference]:
    """Totals, what is left, worth of hours, shares and the cost a tonne give what was printed."""
    return [
        Difference(where=one.where, filed=one.filed, found=one.found)
        for one in money_again.amounts(filing)
        if one.filed != one.found
    ]


def differences(filed: Any, found: Any, *, where: str) -> list[Difference]:
    """Where two trees of plain data differ by more than the last bits of their numbers."""
    if isinstance(filed, dict) and isinstance(found, dict):
        keys = [*filed, *(key for key in found if key not in filed)]
        return [
            difference
            for key in keys
            for difference in differences(filed.get(key), found.get(key), where=f"{where}.{key}")
        ]
    if isinstance(filed, list) and isinstance(found, list) and len(filed) == len(found):
        pairs = enumerate(zip(filed, found, strict=True))
        return [one for n, (a, b) in pairs for one in differences(a, b, where=f"{where}[{n}]")]
    if _alike(filed, found):
        return []
    return [Difference(where=where, filed=str(filed)[:80], found=str(found)[:80])]


def _alike(filed: Any, found: Any) -> bool:
    numbers = isinstance(filed, int | float) and isinstance(found, int | float)
    if numbers and not isinstance(filed, bool):
        return abs(filed - found) <= RELATIVE * max(abs(filed), abs(found))
    return bool(filed == found)
