"""What would make a filing claim more than its records carry: the facts that `diversion.findings` looks at."""

from collections.abc import Iterable
from datetime import date

from diversion import factors, findings
from diversion.account import DiversionAccount
from diversion.conversions import KG_PER_TONNE, WEEKS_PER_YEAR
from diversion.figures import Measure
from diversion.findings import FilingFacts, Finding
from diversion.inputs import AccountInputs
from diversion.materials import Material
from outreach.bins.models import StockCount, StockMovement
from outreach.filings import contested
from outreach.filings.counts import PeriodCounts
from outreach.filings.gathering import Scope
from outreach.workshops.models import Workshop


def findings_of(
    days: tuple[date, date],
    *,
    scope: Scope,
    counts: PeriodCounts,
    inputs: AccountInputs,
    account: DiversionAccount,
) -> tuple[Finding, ...]:
    """Everything that would over-claim in a filing of these days, both included."""
    (first_day, last_day), last = days, account.counts[-1]
    bound = account.figure(Measure.LANDFILL_BOUND) if account.estimated else None
    facts = FilingFacts(
        workshops_not_closed=tuple(_open_workshops(scope, first_day, last_day)),
        stock_counts=StockCount.objects.counted_between(first_day, last_day).count(),
        bins_moved=StockMovement.objects.moved_between(first_day, last_day).count(),
        exceptions_without_reason=sum(without for _, _, without in counts.exceptions),
        yard_claimed_where_banned=tuple(yard_where_banned(inputs, account)),
        prior_counted_as_new=contested.new_yet_composted_before(first_day, last_day, scope=scope),
        answers_in_review=counts.answers_in_review,
        gross_kg_per_active_household_year=_kg_per_active_year(account),
        households_asked=last.households - last.unasked_households,
        answers=last.answers,
        factor_set=inputs.factors,
        latest_factor_set=factors.load(),
        household_weeks_funded_twice=contested.weeks_paid_twice(first_day, last_day, scope=scope),
        estimate=bound.headline.value if bound else None,
        lower=bound.headline.lower if bound else None,
        upper=bound.headline.upper if bound else None,
    )
    return findings.findings(facts)


def _open_workshops(scope: Scope, first_day: date, last_day: date) -> Iterable[str]:
    workshops = Workshop.objects.held_between(first_day, last_day).not_closed().with_names()
    if scope.jurisdiction is not None:
        workshops = workshops.of_jurisdiction(scope.jurisdiction)
    return (str(workshop) for workshop in workshops)


def yard_where_banned(inputs: AccountInputs, account: DiversionAccount) -> list[str]:
    """Places whose trimmings are claimed against the ban. Step 5 counts none there, so this watches over step 5."""
    banned = {one.code for one in inputs.jurisdictions if one.yard_banned}
    return sorted(
        {
            one.jurisdiction
            for one in account.landfill_bound
            if one.material == Material.YARD and one.tonnes > 0 and one.jurisdiction in banned
        }
    )


def _kg_per_active_year(account: DiversionAccount) -> float | None:
    """Gross put into the bin, per household still composting, scaled to a year."""
    if not account.estimated or not account.still_composting:
        return None
    weeks = sum(one.household_weeks for one in account.counts) * account.still_composting
    return KG_PER_TONNE * account.figure(Measure.GROSS).alike.value / weeks * WEEKS_PER_YEAR
