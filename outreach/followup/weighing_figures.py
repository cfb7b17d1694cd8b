"""What a page says of weigh-ins: how many agreed, and how far reports and scales differ."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from diversion.calibration import Calibration
from diversion.factors import PublishedFactor
from diversion.settings import AGREED_SHARE_OF_PICKED, FEWEST_WEIGHED_HOMES
from outreach.followup.models import WeighedWeek, WeighIn
from outreach.followup.weighed_homes import G_PER_KG, ML_PER_LITRE, HomeSums, WeighedMaterial, weighed
from outreach.followup.weighed_weeks import published
from outreach.followup.weighing_chart import drawing_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """How the homes of a season replied."""

    drawn: int
    agreed: int
    declined: int
    no_reply: int
    waiting: int
    volunteers: int

    @classmethod
    def of(cls, homes: Iterable[WeighIn]) -> "Tally":
        listed = list(homes)
        replies = Counter(one.reply for one in listed if not one.is_volunteer)
        return cls(
            drawn=sum(replies.values()),
            volunteers=sum(one.is_volunteer for one in listed),
            **{name: replies[name] for name in ("agreed", "declined", "no_reply", "waiting")},
        )

    @property
    def half_agreed(self) -> bool:
        """So many of the drawn agreed that they stand for everybody."""
        return self.drawn > 0 and self.agreed >= AGREED_SHARE_OF_PICKED * self.drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownMaterial:
    """One material as the page shows it."""

    label: str
    weighed: WeighedMaterial
    published: PublishedFactor
    ratio: Calibration | None
    waiting: int
    set_aside: int

    @property
    def homes(self) -> int:
        return len(self.weighed.homes)

    @property
    def needed(self) -> int:
        return FEWEST_WEIGHED_HOMES

    @property
    def drawing(self) -> str:
        return drawing_of(self.weighed, self.published, self.ratio)

    @property
    def columns(self) -> list[str]:
        return [_("Home"), _("Reported, L"), _("Weighed, kg"), _("kg per litre")]

    @property
    def note(self) -> str:
        return _(
            "Each point is a home. Shaded: the published range, with its value as a thin line. Thick line: the ratio."
        )

    @property
    def rows(self) -> list[tuple[str, str, str, str]]:
        """The table of the chart: home by home, the lightest first; homes have no names here."""
        return [
            (
                f"{number}",
                f"{one.reported_ml / ML_PER_LITRE:.1f}",
                f"{one.weighed_g / G_PER_KG:.2f}",
                _ratio(one.kg_per_litre),
            )
            for number, one in enumerate(self._lightest_first(), start=1)
        ]

    def _lightest_first(self) -> list[HomeSums]:
        return sorted(
            self.weighed.homes, key=lambda one: (one.kg_per_litre is None, one.kg_per_litre or 0, one)
        )


def shown(material: WeighedWeek.Material, *, on: date) -> ShownMaterial:
    """Everything of one material, from the weeks that have ended by a day."""
    homes = weighed(material.value, on=on)
    rows = WeighedWeek.objects.of_material(material.value)
    return ShownMaterial(
        label=str(material.label),
        weighed=homes,
        published=published(material.value),
        ratio=homes.calibration_if_any(),
        waiting=rows.in_review().count(),
        set_aside=rows.set_aside().count(),
    )


def _ratio(kg_per_litre: float | None) -> str:
    return "–" if kg_per_litre is None else f"{kg_per_litre:.3f}"
