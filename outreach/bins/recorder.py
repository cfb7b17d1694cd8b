"""Who writes a row down, and when: passed along with every change to the records."""

from dataclasses import dataclass
from datetime import datetime

from outreach.staff.models import StaffMember


@dataclass(frozen=True, slots=True)
class Recorder:
    """Who is writing (nobody for a command), and when."""

    by: StaffMember | None
    at: datetime
