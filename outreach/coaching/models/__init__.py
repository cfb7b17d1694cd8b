"""Help requests and what is done about them, complaints of authorities, and the local rules of a jurisdiction."""

from outreach.coaching.models.complaints import Complaint
from outreach.coaching.models.local_rules import LocalRules
from outreach.coaching.models.requests import HelpRequest, HelpRequestQuerySet, ReportedSymptom
from outreach.coaching.models.steps import HelpStep, Visit

__all__ = [
    "Complaint",
    "HelpRequest",
    "HelpRequestQuerySet",
    "HelpStep",
    "LocalRules",
    "ReportedSymptom",
    "Visit",
]
