"""Funding sources with their budgets, what was spent, and unpaid hours given in kind."""

from outreach.funding.models.costs import Cost, CostQuerySet, CostShare
from outreach.funding.models.grant_periods import GrantPeriod, GrantPeriodQuerySet
from outreach.funding.models.hours import HourRate, HourRateQuerySet, Hours, HoursQuerySet, HoursShare
from outreach.funding.models.sources import (
    BudgetLine,
    BudgetLineQuerySet,
    FundingSource,
    FundingSourceQuerySet,
)

__all__ = [
    "BudgetLine",
    "BudgetLineQuerySet",
    "Cost",
    "CostQuerySet",
    "CostShare",
    "FundingSource",
    "FundingSourceQuerySet",
    "GrantPeriod",
    "GrantPeriodQuerySet",
    "HourRate",
    "HourRateQuerySet",
    "Hours",
    "HoursQuerySet",
    "HoursShare",
]
