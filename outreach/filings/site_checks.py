"""Site checks as a filing counts them: those of the days about which its answers tell."""

from datetime import date, timedelta
from typing import Any

from diversion.figures import plain
from diversion.inputs import Quarter
from outreach.filings import periods
from outreach.filings.gathering import DAYS_LOOKED_AHEAD, QUARTERS_LOOKED_BACK, Scope
from outreach.followup import site_check_figures
from outreach.followup.site_check_figures import SAID, Comparison


def gather_site_checks(quarter: Quarter, *, scope: Scope, cut_off: date) -> Comparison:
    """Visits of the 18 months before the quarter's end, or the 45 days after it, made by the cut-off."""
    after = periods.first_day(periods.shifted(quarter, 1))
    return site_check_figures.compare(
        since=periods.first_day(periods.shifted(quarter, 1 - QUARTERS_LOOKED_BACK)),
        until=min(after + timedelta(days=DAYS_LOOKED_AHEAD - 1), cut_off),
        jurisdiction=scope.jurisdiction,
    )


def figures_of(comparison: Comparison) -> dict[str, Any]:
    """Every share that is computed of it, unrounded, as plain data."""
    shares = {said: comparison.in_use(said) for said in SAID}
    return {
        "agreeing": plain(comparison.agreeing),
        "in_use": {said: plain(share) for said, share in shares.items()},
    }


def site_checks_from(data: dict[str, Any] | None) -> Comparison | None:
    """As it was frozen; none in a filing that did not keep it."""
    return None if data is None else Comparison.from_dict(data)
