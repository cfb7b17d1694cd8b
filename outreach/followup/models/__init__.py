"""What is asked after a bin went home, what households answered, and what was seen and weighed there."""

from outreach.followup.models.answers import MOST_ML, Answer, Wave, WaveQuerySet
from outreach.followup.models.site_checks import SiteCheck, SiteCheckList
from outreach.followup.models.weighing import WeighedWeek, WeighIn, WeighInSeason
from outreach.followup.own_containers import OwnContainer

__all__ = [
    "MOST_ML",
    "Answer",
    "OwnContainer",
    "SiteCheck",
    "SiteCheckList",
    "Wave",
    "WaveQuerySet",
    "WeighIn",
    "WeighInSeason",
    "WeighedWeek",
]
