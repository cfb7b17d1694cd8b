"""Which rule is in force where and when, and from which day its window counts."""

from dataclasses import dataclass, field
from datetime import date

from outreach.bins.models import RuleVersion
from outreach.places.models import Jurisdiction

JANUARY = 1
# What holds where no version has been recorded: one subsidised bin per household, ever.
UNWRITTEN = RuleVersion(in_force_from_on=date(2000, 1, 1), slots=1, window=RuleVersion.Window.EVER)


@dataclass(frozen=True, slots=True)
class RuleBook:
    """Every rule version, the newest first, and when fiscal years start; read once, asked often."""

    versions: tuple[RuleVersion, ...]
    fiscal_months: dict[int, int]
    _found: dict[tuple[int | None, date], RuleVersion] = field(default_factory=dict)

    @classmethod
    def read(cls) -> "RuleBook":
        return cls(
            tuple(RuleVersion.objects.select_related("jurisdiction").order_by("-in_force_from_on", "-id")),
            dict(Jurisdiction.objects.values_list("pk", "fiscal_year_starts_month")),
        )

    def in_force(self, jurisdiction_id: int | None, on: date) -> RuleVersion:
        """The jurisdiction's own version of that day, else the general one."""
        key = (jurisdiction_id, on)
        if key not in self._found:
            self._found[key] = self._look_up(jurisdiction_id, on)
        return self._found[key]

    def _look_up(self, jurisdiction_id: int | None, on: date) -> RuleVersion:
        begun = [version for version in self.versions if version.in_force_from_on <= on]
        own = [v for v in begun if v.jurisdiction_id is not None and v.jurisdiction_id == jurisdiction_id]
        general = [v for v in begun if v.jurisdiction_id is None]
        return next(iter(own or general), UNWRITTEN)

    def window_from(self, rule: RuleVersion, jurisdiction_id: int | None, on: date) -> date:
        """The day from which bins count against one handed out on that day."""
        start = self._window_start(rule, jurisdiction_id, on)
        return start if rule.earlier_bins_count else max(start, rule.in_force_from_on)

    def _window_start(self, rule: RuleVersion, jurisdiction_id: int | None, on: date) -> date:
        match rule.window:
            case RuleVersion.Window.CALENDAR_YEAR:
                return date(on.year, JANUARY, 1)
            case RuleVersion.Window.FISCAL_YEAR:
                month = self.fiscal_months.get(jurisdiction_id or 0, JANUARY)
                return date(on.year if on.month >= month else on.year - 1, month, 1)
            case RuleVersion.Window.SINCE:
                return rule.window_from_on or rule.in_force_from_on
            case _:
                return date.min
