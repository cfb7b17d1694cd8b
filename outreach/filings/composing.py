"""Compose: from counts and accounts to the one frozen report that every document is made from."""

from datetime import date
from typing import Any

from django.utils import timezone

from diversion.figures import plain
from outreach.filings import claims, computing, costing, frozen_inputs, periods, trend
from outreach.filings.computing import Accounts
from outreach.filings.counts import count_period
from outreach.filings.gathering import Scope
from outreach.filings.masses import mass_unit_of
from outreach.filings.models import Filing
from outreach.filings.occasion import Occasion, Replaced, day_in_words
from outreach.filings.periods import Kind, Period
from outreach.filings.report import Report
from outreach.filings.sections import (
    activity,
    changes,
    climate,
    money,
    openness,
    parts,
    persistence,
    planning,
    seen,
    summary,
    tonnage,
    uncertainty,
    weighing,
)
from outreach.staff import backups


def software_version() -> str:
    return f"Loambook {backups.software_version()}"


def compose(
    period: Period,
    *,
    scope: Scope,
    cut_off: date,
    choices: dict[str, Any],
    replaces: Filing | None = None,
) -> Occasion:
    """Gather, count and compute everything that a filing of the period says, as the records stand.

    `replaces` is the filing that it restates, if any; the report then says why its figures moved.
    """
    so_far = periods.year_to_date(period, starts_month=computing.fiscal_start(scope))
    inputs = computing.gather_inputs(period, so_far, scope=scope, cut_off=cut_off, choices=choices)
    days = (period.first_day, period.last_day)
    counts, accounts = count_period(*days, scope=scope), computing.compute(inputs)
    return Occasion(
        place=scope.name if scope.is_one else "all jurisdictions",
        period=period,
        year_to_date=so_far,
        cut_off=cut_off,
        mass=mass_unit_of(scope.jurisdictions),
        counts=counts,
        counts_to_date=count_period(so_far.first_day, so_far.last_day, scope=scope),
        inputs=inputs,
        accounts=accounts,
        findings=claims.findings_of(
            days,
            scope=scope,
            counts=counts,
            inputs=inputs.period,
            account=accounts.period,
        ),
        money=costing.money_between(*days, jurisdiction=scope.jurisdiction),
        trend=trend.trend(scope, inputs=inputs.period, computed=accounts.period),
        replaced=_replaced(replaces) if replaces else None,
    )


def _replaced(filing: Filing) -> Replaced:
    return Replaced(
        submitted_on=day_in_words(timezone.localdate(filing.submitted_at)),
        inputs=frozen_inputs.from_dict(filing.inputs["period"]),
        was_estimated=filing.report["account"]["period"]["estimated"],
    )


def report_of(occasion: Occasion) -> Report:
    """The report: a pure function of the occasion."""
    return Report(
        title=f"Home composting in {occasion.place}, {occasion.period.name}",
        subtitle=f"{occasion.period_in_words}; {occasion.year_in_words}",
        summary=summary.paragraph(occasion),
        headlines=summary.headlines(occasion),
        sections=(
            *changes.changes(occasion),
            activity.done(occasion),
            activity.answered(occasion),
            tonnage.kept_out(occasion),
            climate.methane(occasion),
            uncertainty.how_sure(occasion),
            planning.answers_wanted(occasion),
            parts.places_and_families(occasion),
            persistence.how_long(occasion),
            *money.money(occasion),
            *weighing.weighed(occasion),
            *seen.what_was_seen(occasion),
            openness.open_points(occasion),
            parts.strata(occasion),
            openness.method(occasion),
            openness.factors(occasion),
        ),
        made_from=_made_from(occasion),
        account=account_of(occasion.accounts),
    )


def account_of(accounts: Accounts) -> dict[str, Any]:
    """Everything that was computed, unrounded, as plain data; what `verify_filing` compares."""
    account = {
        "period": accounts.period.to_dict(),
        "year_to_date": accounts.year_to_date.to_dict(),
        "drawn": plain(accounts.drawn) if accounts.drawn else None,
    }
    kept = {"persistence": plain(accounts.persistence), "site_checks": accounts.site_checks}
    return account | {name: value for name, value in kept.items() if value is not None}


def _made_from(occasion: Occasion) -> tuple[str, ...]:
    factors = occasion.inputs.period.factors
    is_quarter = occasion.period.kind == Kind.QUARTER
    after = "the quarter" if is_quarter else "each quarter of the period, or the part of one"
    return (
        f"Answers dated up to {day_in_words(occasion.cut_off)} count, and no later than 45 days after "
        f"{after}.",
        f"Factor set {factors.name}, sha256 {factors.digest}.",
        software_version(),
    )
