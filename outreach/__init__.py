"""The records of a home-composting outreach programme: one Django app per capability."""
