"""Site checks as a filing counts them: those of the days about which its answers tell."""

from datetime import date
from typing import Any

from diversion.figures import plain
from outreach.filings import gathering
from outreach.filings.gathering import Scope
from outreach.followup import site_check_figures
from outreach.followup.site_check_figures import SAID, Comparison


def gather_site_checks(after: date, *, scope: Scope, cut_off: date) -> Comparison:
    """Visits of the 18 months before the period's end, or the 45 days after it, made by the cut-off."""
    return site_check_figures.compare(
        since=gathering.oldest_answer_day(after),
        until=gathering.last_answer_day(after, cut_off),
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
