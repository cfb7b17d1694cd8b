"""What the page of a household says about being asked."""

from typing import Any

from outreach.households import consent, consent_words
from outreach.households.models import Household
from outreach.staff.models import StaffMember
from outreach.staff.roles import OFFICE


def panel(household: Household, member: StaffMember) -> dict[str, Any]:
    """The latest that was said, and whether this person may enter something else."""
    said = consent.latest(household, consent.Purpose.FOLLOW_UP)
    may_ask = said is None or said.is_given
    words = consent_words.FOLLOW_UP.get(said.words_version or 0, {}) if said else {}
    return {
        "said": said,
        "may_ask": may_ask,
        "may_change": member.role in OFFICE,
        "words": words.get("en", ""),
    }
