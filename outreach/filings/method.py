"""The choices a filing makes, between a form, a frozen record and the estimators."""

import math
from typing import Any

from diversion import factors
from diversion.factors import Horizon, Precipitation, Report
from diversion.inputs import JurisdictionSettings, MethodSettings
from outreach.places.models import Jurisdiction, LandfillProfile

WHOLE = 100


def landfill_of(jurisdiction: Jurisdiction) -> JurisdictionSettings:
    """What Set-up says of a jurisdiction's trash, in the estimators' words."""
    profile = jurisdiction.landfill_profile
    own = tuple(
        (float(start), math.inf if end is None else float(end), float(share))
        for start, end, share in profile.own_phases
    )
    return JurisdictionSettings(
        code=jurisdiction.name,
        landfilled_share=jurisdiction.landfilled_percent / WHOLE,
        yard_banned=jurisdiction.yard_trimmings_banned,
        precipitation=Precipitation(profile.climate),
        collection=own if profile.collection == LandfillProfile.Collection.OWN else profile.collection,
        oxidation=profile.oxidation_percent / WHOLE,
    )


def settings_from(choices: dict[str, Any]) -> MethodSettings:
    """The method's settings from a draft's or a filing's choices; those not chosen are the usual ones.

    Raises
    ------
    ValueError, DiversionError
        If a choice is not one of the method's.
    """
    usual = MethodSettings()
    return MethodSettings(
        odds=float(choices.get("odds", usual.odds)),
        report=Report(choices.get("report", usual.report)),
        horizon=Horizon(int(choices.get("horizon", usual.horizon))),
        food_docf_scenario=bool(choices.get("food_docf_scenario", usual.food_docf_scenario)),
        n2o_as_printed=bool(choices.get("n2o_as_printed", usual.n2o_as_printed)),
    )


def choices_of(settings: MethodSettings, *, factor_set: str) -> dict[str, Any]:
    """The same as plain data, to be frozen with a filing."""
    return {
        "factor_set": factor_set,
        "odds": settings.odds,
        "report": str(settings.report),
        "horizon": int(settings.horizon),
        "food_docf_scenario": settings.food_docf_scenario,
        "n2o_as_printed": settings.n2o_as_printed,
    }


def factor_set_from(choices: dict[str, Any]) -> factors.FactorSet:
    return factors.load(choices.get("factor_set", factors.LATEST))
