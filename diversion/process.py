"""Methane and nitrous oxide of home composting itself.

Everything that goes into the bin emits a little, browns too; what was composted before had its emissions
before, so that the caller nets it out. Measured home units lie within the published range, mostly at its
lower end for methane.
"""

from dataclasses import dataclass

from diversion.errors import require_within
from diversion.factors import FactorSet


@dataclass(frozen=True, slots=True, kw_only=True)
class CompostingProcess:
    """What a tonne of wet material emits while it is composted.

    Parameters
    ----------
    ch4_kg_per_tonne, n2o_kg_per_tonne : float
        At least 0. [kg per tonne of wet input]
    """

    ch4_kg_per_tonne: float
    n2o_kg_per_tonne: float

    def __post_init__(self) -> None:
        require_within("ch4_kg_per_tonne", self.ch4_kg_per_tonne, 0)
        require_within("n2o_kg_per_tonne", self.n2o_kg_per_tonne, 0)

    @classmethod
    def published(cls, *, factors: FactorSet, n2o_as_printed: bool = False) -> "CompostingProcess":
        """The factor set's values; `n2o_as_printed` takes the first print of the nitrous oxide figure.

        Source
        ------
        IPCC 2006 Guidelines, Vol. 5, Ch. 4, Table 4.1, wet basis.
        """
        n2o = factors.process_n2o_as_printed if n2o_as_printed else factors.process_n2o
        return cls(ch4_kg_per_tonne=factors.process_ch4.value, n2o_kg_per_tonne=n2o.value)
