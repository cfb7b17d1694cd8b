"""A forecast for the screen: its sentence, its figures, the fan with its table, and what it rests on."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property

from django.utils.formats import date_format
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from diversion.rounding import printed, printed_share
from diversion.settings import FAN
from outreach.filings.charts.fan import lay_out_fan
from outreach.filings.charts.vectors import svg_of_layout
from outreach.filings.gathering import Scope
from outreach.filings.looking_ahead import MONTHS_A_YEAR, YearAhead
from outreach.filings.masses import MassUnit, mass_unit_of


@dataclass(frozen=True, kw_only=True)
class ShownForecast:
    """What the page prints of a forecast; masses in the unit of the scope's filings."""

    ahead: YearAhead
    scope: Scope
    workshops: int
    bins: int

    @cached_property
    def mass(self) -> MassUnit:
        return mass_unit_of(self.scope.jurisdictions)

    @property
    def year_words(self) -> str:
        return _("fiscal year") if self.ahead.is_fiscal else _("calendar year")

    @property
    def place(self) -> str:
        return self.scope.name if self.scope.is_one else _("all jurisdictions")

    @property
    def ends_on(self) -> date:
        return _month_after(self.ahead.starts_on, len(self.ahead.fan))

    @cached_property
    def fan(self) -> list[tuple[float, ...]]:
        """Since the start of the year, at the start of what is forecast and at the end of each month."""
        so_far = self.ahead.so_far_tonnes
        return [(so_far,) * len(FAN), *(tuple(so_far + t for t in one.tonnes) for one in self.ahead.fan)]

    @property
    def months(self) -> list[str]:
        start = self.ahead.starts_on
        return [date_format(_month_after(start, number), "M") for number in range(len(self.fan) - 1)]

    def _in_mass(self, tonnes: float) -> str:
        return self.mass.of(tonnes).printed

    @property
    def end(self) -> dict[str, str]:
        """Gross by the end of the year: middle and limits."""
        low, _quarter, middle, _other, high = map(self._in_mass, self.fan[-1])
        return {"value": middle, "low": low, "high": high}

    @property
    def kept_out(self) -> dict[str, str]:
        """The part of it that went to landfill before, at the share of the last quarter."""
        low, middle, high = (
            self._in_mass(self.fan[-1][place] * self.ahead.kept_out_share) for place in (0, 2, 4)
        )
        return {"value": middle, "low": low, "high": high}

    @property
    def so_far(self) -> str:
        return self._in_mass(self.ahead.so_far_tonnes)

    @property
    def drawing(self) -> SafeString:
        top = max(max(points) for points in self.fan)
        at_end = [self._in_mass(self.fan[-1][place]) for place in (0, 2, 4)]
        in_unit = [f"{one} {self.mass.sign}" if place == 1 else one for place, one in enumerate(at_end)]
        layout = lay_out_fan(["", *self.months], self.fan, [*in_unit, self._in_mass(top)])
        return svg_of_layout(layout, alt=self.alt)

    @property
    def alt(self) -> str:
        return _("Fan chart: %(middle)s %(unit)s by the end of the year, from %(low)s to %(high)s") % {
            "middle": self.end["value"],
            "unit": self.mass.sign,
            "low": self.end["low"],
            "high": self.end["high"],
        }

    @property
    def columns(self) -> list[str]:
        return [_("By the end of"), *(f"{share:.0%}".replace("%", " %") for share in FAN)]

    @property
    def rows(self) -> list[list[str]]:
        return [
            [month, *map(self._in_mass, points)]
            for month, points in zip(self.months, self.fan[1:], strict=True)
        ]

    @property
    def rests_on(self) -> list[tuple[str, str]]:
        """What the forecast was told, in words and numbers."""
        basis, uptake = self.ahead.basis, self.ahead.uptake
        assumed = _("assumed, %(count)s past workshops with bins planned") % {"count": uptake.workshops}
        known = _("of %(count)s past workshops") % {"count": uptake.workshops}
        return [
            (_("Households with a bin at the start"), f"{basis.households_now:,}"),
            (_("Households with a first bin since"), f"{self.ahead.bins_out:,}"),
            (
                _("Into the bin, per household with one, in a mean month"),
                _per_week(basis.kg_per_household_week),
            ),
            (_("Its relative standard error, answers and factors"), printed_share(basis.relative_error)),
            (
                _("Bins that go home, of those brought"),
                f"{printed_share(uptake.mean)} ± {printed_share(uptake.sd)}, "
                f"{assumed if uptake.is_assumed else known}",
            ),
            (
                _("Households that stop, each month"),
                f"{printed_share(basis.quitting_rate)} ± {printed_share(basis.quitting_rate_error)}",
            ),
        ]


def _per_week(kilograms: float) -> str:
    return _("%(mass)s kg a week") % {"mass": printed(kilograms)}


def _month_after(day: date, months: int) -> date:
    years, month = divmod(day.month - 1 + months, MONTHS_A_YEAR)
    return date(day.year + years, month + 1, 1)
