"""What homes weighed against what they reported: sums of the same weeks, home by home, and the ratio they give."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Max, Sum

from diversion.calibration import (
    Calibration,
    NothingReported,
    TooFewWeighIns,
    calibrate,
)
from diversion.calibration import (
    WeighIn as WeighedHome,
)
from diversion.settings import FEWEST_WEIGHED_HOMES
from outreach.followup.models import WeighedWeek, WeighIn

ML_PER_LITRE = G_PER_KG = 1000
MATERIALS = ("food", "yard")


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class HomeSums:
    """One home's weeks added up: what it would have reported, and what it weighed."""

    reported_ml: int
    weighed_g: int

    @property
    def kg_per_litre(self) -> float | None:
        return self.weighed_g / self.reported_ml if self.reported_ml else None


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighedMaterial:
    """The homes behind the ratio of one material.

    `homes_drawn` is how many were drawn and asked, those left out that weighed and had none of this material; it is
    None where volunteers are among the homes.
    """

    material: str
    homes: tuple[HomeSums, ...]
    homes_drawn: int | None = None

    def calibration(self) -> Calibration:
        """The ratio with its limits.

        Raises
        ------
        TooFewWeighIns, NothingReported
        """
        return calibrate(
            [
                WeighedHome(
                    reported_litres=one.reported_ml / ML_PER_LITRE, measured_kg=one.weighed_g / G_PER_KG
                )
                for one in self.homes
            ],
            picked_at_random=self.homes_drawn is not None,
            homes_picked=self.homes_drawn,
        )

    def calibration_if_any(self) -> Calibration | None:
        """The same; None where too few weighed or nothing was reported."""
        try:
            return self.calibration()
        except (TooFewWeighIns, NothingReported):
            return None

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> "WeighedMaterial":
        homes = tuple(HomeSums(**one) for one in data["homes"])
        return cls(material=data["material"], homes=homes, homes_drawn=data["homes_drawn"])


def weighed(material: str, *, on: date) -> WeighedMaterial:
    """The homes of all seasons whose weeks had ended by a day; doubtful weeks and those set aside do not count.

    Where enough drawn homes weighed, they alone make the ratio; else volunteers are taken in too.
    """
    drawn, others = _sums(material, on=on)
    used = [one for one in drawn if one.reported_ml or one.weighed_g]
    if len(used) >= FEWEST_WEIGHED_HOMES:
        asked = WeighIn.objects.drawn_by(on).order_by().values("counted_under").distinct().count()
        without_any = len(drawn) - len(used)
        return WeighedMaterial(
            material=material, homes=tuple(sorted(used)), homes_drawn=max(asked - without_any, len(used))
        )
    everyone = [*used, *(one for one in others if one.reported_ml or one.weighed_g)]
    return WeighedMaterial(material=material, homes=tuple(sorted(everyone)))


def _sums(material: str, *, on: date) -> tuple[list[HomeSums], list[HomeSums]]:
    """Of drawn homes and of volunteers; who was both is drawn."""
    rows = WeighedWeek.objects.counting().ended_by(on).of_material(material).order_by()
    sums = rows.values_list("weigh_in__counted_under").annotate(
        Sum("reported_ml"), Sum("weighed_g"), Max("weigh_in__draw_place")
    )
    drawn: list[HomeSums] = []
    others: list[HomeSums] = []
    for _home, reported, weighed_g, place in sums:
        (others if place is None else drawn).append(
            HomeSums(reported_ml=int(reported), weighed_g=int(weighed_g))
        )
    return drawn, others
