"""What is asked after a bin went home, what households answered, and what was seen and weighed there."""

from outreach.followup.models.answers import MOST_ML, Answer, Wave, WaveQuerySet
from outreach.followup.own_containers import OwnContainer

__all__ = ["MOST_ML", "Answer", "OwnContainer", "Wave", "WaveQuerySet"]
