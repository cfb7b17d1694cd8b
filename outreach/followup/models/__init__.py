"""What is asked after a bin went home, what households answered, and what was seen and weighed there."""

from outreach.followup.models.answers import MOST_ML, Answer
from outreach.followup.models.calls import FollowUpCall, FollowUpCallQuerySet
from outreach.followup.models.invitations import Invitation, InvitationQuerySet
from outreach.followup.models.site_checks import SiteCheck, SiteCheckList
from outreach.followup.models.waves import Wave, WaveQuerySet
from outreach.followup.models.weighing import WeighedWeek, WeighIn, WeighInSeason
from outreach.followup.own_containers import OwnContainer

__all__ = [
    "MOST_ML",
    "Answer",
    "FollowUpCall",
    "FollowUpCallQuerySet",
    "Invitation",
    "InvitationQuerySet",
    "OwnContainer",
    "SiteCheck",
    "SiteCheckList",
    "Wave",
    "WaveQuerySet",
    "WeighIn",
    "WeighInSeason",
    "WeighedWeek",
]
