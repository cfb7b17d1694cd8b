"""Which jurisdictions have filed the last full quarter, and which have not."""

from dataclasses import dataclass
from datetime import date

from django.urls import reverse

from outreach.filings import periods
from outreach.filings.models import Filing
from outreach.places.models import Jurisdiction


@dataclass(frozen=True, slots=True, kw_only=True)
class FilingDue:
    """One jurisdiction's filing of the last full quarter: submitted, or still to do."""

    jurisdiction: Jurisdiction
    quarter: str
    filing: Filing | None

    @property
    def is_filed(self) -> bool:
        return self.filing is not None

    @property
    def url(self) -> str:
        return self.filing.get_absolute_url() if self.filing else reverse("filing_begin")


def filings_due(on: date) -> list[FilingDue]:
    """One for each jurisdiction; a filing of all jurisdictions together covers each."""
    period = periods.calendar_quarter(periods.last_full_quarter(on))
    standing = {one.jurisdiction_id: one for one in Filing.objects.standing().covering(period)}
    return [
        FilingDue(
            jurisdiction=jurisdiction,
            quarter=period.code,
            filing=standing.get(jurisdiction.pk) or standing.get(None),
        )
        for jurisdiction in Jurisdiction.objects.all()
    ]
