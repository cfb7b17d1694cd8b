"""A filing's inputs as plain data, and back: cells of sums, settings, weigh-ins, and the factors' name and digest."""

import math
from collections.abc import Mapping
from typing import Any

from diversion import factors
from diversion.calibration import Calibration
from diversion.cells import AnswerCell, ExposureCell, Prior, QuitCount, Unit
from diversion.curves import Held
from diversion.factors import FactorSet, Horizon, Precipitation, Report
from diversion.figures import plain
from diversion.inputs import (
    AccountInputs,
    EarlierTonnes,
    JurisdictionSettings,
    MethodSettings,
    Quarter,
    QuarterCells,
)
from diversion.materials import Material
from diversion.persistence import Following
from diversion.settings import SEASON_FEWEST_ANSWERS_BEFORE


class FactorsChanged(Exception):
    """The factor set on this machine is not the one that the filing was made with."""

    def __init__(self, *, name: str, filed: str, found: str) -> None:
        self.name, self.filed, self.found = name, filed, found
        super().__init__(
            f"Factor set {name} has digest {found[:12]} here, but the filing was made with {filed[:12]}. "
            f"Install the software version that the filing names."
        )


def to_dict(inputs: AccountInputs) -> dict[str, Any]:
    """Plain data for JSON, without the factors themselves."""
    return {
        "quarters": plain(inputs.quarters),
        "jurisdictions": [_without_infinity(plain(one)) for one in inputs.jurisdictions],
        "factors": {"name": inputs.factors.name, "sha256": inputs.factors.digest},
        "quits": plain(inputs.quits),
        "settings": plain(inputs.settings),
        "earlier": plain(inputs.earlier),
        "food_weighed": plain(inputs.food_weighed),
        "yard_weighed": plain(inputs.yard_weighed),
    }


def from_dict(data: dict[str, Any]) -> AccountInputs:
    """The inputs as they were frozen.

    Raises
    ------
    FactorsChanged
    """
    return AccountInputs(
        quarters=tuple(_quarter_cells(one) for one in data["quarters"]),
        jurisdictions=tuple(_jurisdiction(one) for one in data["jurisdictions"]),
        factors=_factors(data["factors"]),
        quits=tuple(QuitCount(**one) for one in data["quits"]),
        settings=_settings(data["settings"]),
        earlier=tuple(
            EarlierTonnes(
                **{**one, "quarter": Quarter(**one["quarter"]), "material": Material(one["material"])}
            )
            for one in data["earlier"]
        ),
        food_weighed=_calibration(data["food_weighed"]),
        yard_weighed=_calibration(data["yard_weighed"]),
    )


def slices_of(frozen: Mapping[str, Any]) -> tuple[QuarterCells, ...]:
    """The cells of every slice that a filing froze, of its period and of its year to date, each once."""
    kept = {
        (cells.quarter, cells.span): cells
        for name in ("year_to_date", "period")
        for cells in from_dict(frozen[name]).quarters
    }
    return tuple(kept.values())


def following_from(data: dict[str, Any] | None) -> Following | None:
    """How long households were followed, as it was frozen; None where the filing did not keep it."""
    if data is None:
        return None
    return Following(
        held=tuple(Held(**one) for one in data["held"]),
        stopped_undated=data["stopped_undated"],
        in_use=tuple((months, households) for months, households in data["in_use"]),
    )


def _calibration(data: dict[str, Any] | None) -> Calibration | None:
    return None if data is None else Calibration(**data)


def _factors(data: dict[str, str]) -> FactorSet:
    found = factors.load(data["name"])
    if found.digest != data["sha256"]:
        raise FactorsChanged(name=data["name"], filed=data["sha256"], found=found.digest)
    return found


def _quarter_cells(data: dict[str, Any]) -> QuarterCells:
    return QuarterCells(
        quarter=Quarter(**data["quarter"]),
        # Filings of versions that knew whole quarters alone keep none.
        span=data.get("span", ""),
        exposure=tuple(ExposureCell(**one) for one in data["exposure"]),
        answers=tuple(
            AnswerCell(
                **{
                    **one,
                    "food_in": Unit(one["food_in"]),
                    "yard_in": Unit(one["yard_in"]),
                    "prior": Prior(one["prior"]),
                }
            )
            for one in data["answers"]
        ),
    )


def _jurisdiction(data: dict[str, Any]) -> JurisdictionSettings:
    collection = data["collection"]
    if not isinstance(collection, str):
        collection = tuple(
            (start, math.inf if end is None else end, share) for start, end, share in collection
        )
    return JurisdictionSettings(
        **{**data, "collection": collection, "precipitation": Precipitation(data["precipitation"])}
    )


def _without_infinity(data: dict[str, Any]) -> dict[str, Any]:
    if isinstance(data["collection"], str):
        return data
    table = [[start, None if math.isinf(end) else end, share] for start, end, share in data["collection"]]
    return {**data, "collection": table}


# What filings were made with before they kept it.
FIRST_VERSION = {"version": 1, "season_fewest_answers": SEASON_FEWEST_ANSWERS_BEFORE, "draws": 10_000}


def _settings(data: dict[str, Any]) -> MethodSettings:
    return MethodSettings(
        **{
            **FIRST_VERSION,
            **data,
            "report": Report(data["report"]),
            "horizon": Horizon(data["horizon"]),
            "odds_shown": tuple(data["odds_shown"]),
            "calendar_years": tuple(data["calendar_years"]),
        }
    )
