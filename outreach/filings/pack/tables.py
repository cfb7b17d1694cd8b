"""Tables of the pack as CSV, as all apps write it."""

from outreach.staff.csv_tables import as_csv

__all__ = ["as_csv"]
