"""A refused action shown on the form that asked for it, as all apps show it."""

from outreach.staff.refusals import attempt, status_of, succeeds

__all__ = ["attempt", "status_of", "succeeds"]
