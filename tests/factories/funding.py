"""Funding sources, valid by default."""

import datetime
import itertools

from outreach.funding.models import FundingSource

_number = itertools.count(1)


def make_funding_source(**differences) -> FundingSource:
    fields = {"name": f"Organics grant {next(_number)}", "starts_on": datetime.date(2024, 1, 1)}
    return FundingSource.objects.create(**(fields | differences))
