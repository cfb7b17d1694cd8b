"""Whether a household may be asked, for each purpose; given and withdrawn, with how and when.

Whoever sends anything for a purpose asks `may_ask` first, and names its kinds of message with
`register_kinds`, so that withdrawing takes back what waits in the outbox.
"""

from collections.abc import Collection
from datetime import datetime

from django.db import transaction
from django.urls import reverse

from outreach.households import consent_words
from outreach.households.consent_models import Consent
from outreach.households.models import Household, Participant
from outreach.post import links, posting
from outreach.staff.models import StaffMember

Purpose, How = Consent.Purpose, Consent.How
LINK = "consent"

_kinds: dict[str, set[str]] = {}


def register_kinds(purpose: str, keys: Collection[str]) -> None:
    """Messages of these kinds are sent for a purpose; withdrawing it takes back those that wait."""
    _kinds.setdefault(purpose, set()).update(keys)


def kinds_of(purpose: str) -> frozenset[str]:
    """The kinds of messages that are sent for a purpose."""
    return frozenset(_kinds.get(purpose, ()))


def may_ask(household: Household, purpose: str) -> bool:
    """Whether the household, under whichever of its merged records, has not said no.

    Whoever takes part is asked how it goes, as the programme tells them; where the form asked and they
    left it open, or where they withdrew later, they are not.
    """
    said = latest(household, purpose)
    return said is None or said.is_given


def latest(household: Household, purpose: str) -> Consent | None:
    """What was said last."""
    return Consent.objects.of_any(_records(household), purpose).first()


def latest_of(roots: Collection[Household], purpose: str) -> dict[int, bool]:
    """What each of these households said last, by its number, under whichever record; none for who never did."""
    latest: dict[int, bool] = {}
    for one in Consent.objects.on_purpose(purpose).of_roots(roots).select_related("household__merged_into"):
        latest.setdefault(one.household.counted_under.pk, one.is_given)
    return latest


def households_that_said_no(purpose: str) -> set[int]:
    """Numbers of the households, roots of merges, whose latest word on a purpose is no."""
    latest: dict[int, bool] = {}
    for one in Consent.objects.on_purpose(purpose).select_related("household__merged_into"):
        latest.setdefault(one.household.counted_under.pk, one.is_given)
    return {root for root, is_given in latest.items() if not is_given}


def say(  # what one statement is; every caller names them
    *,
    household: Household,
    purpose: str,
    is_given: bool,
    how: str,
    at: datetime,
    by: StaffMember | None = None,
) -> Consent:
    """Write down what they said; said twice is once. A no takes back what has not been sent.

    Where they ticked or pressed something themselves, today's version of our words stood beside it.
    """
    words = None if how == How.OFFICE else consent_words.CURRENT
    return _added(
        Consent(
            household=household,
            purpose=purpose,
            is_given=is_given,
            how=how,
            words_version=words,
            said_at=at,
            entered_by=by,
        )
    )


def note_door(*, household: Household, is_given: bool, words: int, at: datetime) -> Consent:
    """What somebody of the household ticked on the screen at the Door, beside that version of our words."""
    purpose = Purpose.FOLLOW_UP
    said = {"household": household, "purpose": purpose, "is_given": is_given, "said_at": at}
    return _added(Consent(**said, how=How.DOOR, words_version=words))


def note_sign_up(*, household: Household, is_given: bool, at: datetime) -> None:
    """What the public form says counts only where nothing was said before: anybody may have filled it in."""
    if latest(household, Purpose.FOLLOW_UP) is None:
        say(household=household, purpose=Purpose.FOLLOW_UP, is_given=is_given, how=How.SIGN_UP, at=at)


def note_arrival(*, household: Household, is_given: bool, at: datetime) -> None:
    """Somebody of the household came: what their form said counts, unless they said otherwise in another way."""
    said = latest(household, Purpose.FOLLOW_UP)
    if said is None or said.how == How.SIGN_UP:
        say(household=household, purpose=Purpose.FOLLOW_UP, is_given=is_given, how=How.SIGN_UP, at=at)


@transaction.atomic
def _added(said: Consent) -> Consent:
    known = latest(said.household, said.purpose)
    if known is not None and known.is_given == said.is_given:
        return known
    if told := Consent.objects.told_before(said).first():
        return told
    said.full_clean()
    said.save()
    # What a device tells late may be older than what they have said since.
    is_latest = known is None or known.said_at <= said.said_at
    if not said.is_given and is_latest:
        people = Participant.objects.of(said.household.counted_under).values_list("pk", flat=True)
        kinds = _kinds.get(said.purpose, set())
        posting.withdraw_kinds(kinds=kinds, numbers=list(people), at=said.said_at)
    return said


def path_of(household: Household, purpose: str) -> str:
    """The page on which whoever has this link says no, or yes again."""
    token = links.make(LINK, {"household": household.pk, "purpose": purpose})
    return reverse("consent", args=[token])


def _records(household: Household) -> list[Household]:
    root = household.counted_under
    return [root, *Household.objects.merged_into(root)]
