"""From gases to CO2e, and the net effect with its memo lines.

Which report and horizon a figure uses is a choice that a funder makes; it is named beside the figure and
never drawn.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from diversion.conversions import CARBON_DIOXIDE_PER_CARBON, KG_PER_TONNE
from diversion.errors import require_within
from diversion.factors import FactorSet, Horizon, Report
from diversion.landfill import DecayingMaterial
from diversion.process import CompostingProcess


@dataclass(frozen=True, slots=True, kw_only=True)
class Warming:
    """Warming potentials of the two gases under one report and horizon.

    Parameters
    ----------
    ch4, n2o : float
        At least 0. [kg CO2e per kg]
    report : Report
    horizon : Horizon
    """

    ch4: float
    n2o: float
    report: Report
    horizon: Horizon

    def __post_init__(self) -> None:
        require_within("ch4, kg CO2e/kg", self.ch4, 0)
        require_within("n2o, kg CO2e/kg", self.n2o, 0)

    @classmethod
    def under(cls, report: Report, horizon: Horizon, *, factors: FactorSet) -> "Warming":
        """The factor set's potentials for methane from biogenic waste and for nitrous oxide."""
        return cls(
            ch4=factors.gwp_ch4(report, horizon).value,
            n2o=factors.gwp_n2o(report, horizon).value,
            report=report,
            horizon=horizon,
        )

    def of_process(self, process: CompostingProcess) -> float:
        """Warming of composting one tonne of wet input. [kg CO2e per tonne]"""
        return process.ch4_kg_per_tonne * self.ch4 + process.n2o_kg_per_tonne * self.n2o


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialBalance:
    """One material of one period and landfill profile, as far as warming is concerned.

    Parameters
    ----------
    gross_tonnes : float
        Put into bins (G). [t wet]
    landfill_tonnes : float
        Of that, would have gone to landfill (L). [t wet]
    composted_before_tonnes : float
        Of that, was composted before, at home or from the green cart (K). [t wet]
    methane_kg_per_tonne : float
        Methane that a landfilled tonne would have let escape (m). [kg/t]
    stored_carbon_kg_per_tonne : float
        See `stored_carbon_kg_co2_per_tonne`. [kg CO2/t]
    """

    gross_tonnes: float
    landfill_tonnes: float
    composted_before_tonnes: float
    methane_kg_per_tonne: float
    stored_carbon_kg_per_tonne: float = 0.0

    def __post_init__(self) -> None:
        require_within("gross_tonnes", self.gross_tonnes, 0)
        require_within("landfill_tonnes", self.landfill_tonnes, 0)
        require_within("composted_before_tonnes", self.composted_before_tonnes, 0)
        require_within("methane_kg_per_tonne", self.methane_kg_per_tonne, 0)
        require_within("stored_carbon_kg_per_tonne", self.stored_carbon_kg_per_tonne, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class NetWarming:
    """Landfill methane avoided less the emissions of composting. Estimates; no carbon credits are implied.

    Parameters
    ----------
    methane_avoided_kg : float
        [kg CH4]
    avoided_kg_co2e, process_kg_co2e, net_kg_co2e : float
        Net is the first less the second and may be negative. [kg CO2e]
    stored_carbon_kg_co2 : float
        Memo, never added: carbon that would have stayed buried for good. [kg CO2]
    """

    methane_avoided_kg: float
    avoided_kg_co2e: float
    process_kg_co2e: float
    net_kg_co2e: float
    stored_carbon_kg_co2: float


def net_warming(
    balances: Sequence[MaterialBalance],
    *,
    process: CompostingProcess,
    warming: Warming,
    browns_tonnes: float = 0.0,
) -> NetWarming:
    """Warming avoided by keeping material out of landfill, net of what composting it emits.

    Parameters
    ----------
    balances : sequence of MaterialBalance
        One for each material and landfill profile.
    process : CompostingProcess
    warming : Warming
    browns_tonnes : float
        Browns put in along with them: they emit in the bin and are credited nothing. [t wet]

    Returns
    -------
    NetWarming

    Source
    ------
    Arithmetic on first-order decay (`landfill`) and IPCC 2006 Guidelines, Vol. 5, Ch. 4 (`process`). Only
    gross less what was composted before compares the programme with what would have been without it.
    """
    require_within("browns_tonnes", browns_tonnes, 0)
    methane = math.fsum(b.landfill_tonnes * b.methane_kg_per_tonne for b in balances)
    newly_composted = browns_tonnes + math.fsum(b.gross_tonnes - b.composted_before_tonnes for b in balances)
    avoided = methane * warming.ch4
    emitted = newly_composted * warming.of_process(process)
    return NetWarming(
        methane_avoided_kg=methane,
        avoided_kg_co2e=avoided,
        process_kg_co2e=emitted,
        net_kg_co2e=avoided - emitted,
        stored_carbon_kg_co2=math.fsum(b.landfill_tonnes * b.stored_carbon_kg_per_tonne for b in balances),
    )


def stored_carbon_kg_co2_per_tonne(material: DecayingMaterial) -> float:
    """Carbon of a landfilled tonne that would never have decayed, as CO2: a memo beside the net, never added.

    Returns
    -------
    float
        [kg CO2 per tonne of wet waste]

    Source
    ------
    DOC (1 - DOCf) 44/12, the long-term stored carbon of IPCC 2006 Guidelines, Vol. 5, Ch. 3.
    """
    return KG_PER_TONNE * material.doc * (1 - material.docf) * CARBON_DIOXIDE_PER_CARBON


def avoided_haulage_kg_co2(
    *, landfill_tonnes: float, distance_km: float, kg_co2_per_tonne_km: float
) -> float:
    """Haulage that did not happen: a memo beside the net, never added, for trucks drive their routes anyway.

    Parameters
    ----------
    landfill_tonnes : float
        [t wet]
    distance_km : float
        From the routes to the landfill, one way and back as the programme states it. [km]
    kg_co2_per_tonne_km : float
        From the hauler; there is no default.

    Returns
    -------
    float
        [kg CO2]
    """
    require_within("landfill_tonnes", landfill_tonnes, 0)
    require_within("distance_km", distance_km, 0)
    require_within("kg_co2_per_tonne_km", kg_co2_per_tonne_km, 0)
    return landfill_tonnes * distance_km * kg_co2_per_tonne_km
