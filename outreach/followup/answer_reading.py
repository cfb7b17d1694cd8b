"""What a household said, as it said it, turned into the fields of an answer, with what is doubtful."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _

from diversion.quantities import Amount, Material, NotAnAmount, Period
from outreach.followup.amount_reader import AmountReader
from outreach.followup.before import Before, NotAPlace, read_before
from outreach.followup.models import MOST_ML, Answer
from outreach.households.models import Household, Participant


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerAsGiven:
    """One answer as it came in: words and days, nothing worked out yet.

    `per` is what the question asked about; `doubt` is what the paperwork already put in question. `browns_text`
    is None where browns were not asked about: then a correction leaves them as they were. `reminders` is how
    often the household had been reminded, where whoever asks knows; else it is looked up by the wave.
    """

    household: Household
    answered_on: date
    composting: str
    channel: str
    participant: Participant | None = None
    received_on: date | None = None
    food_text: str = ""
    yard_text: str = ""
    browns_text: str | None = None
    per: Period = Period.WEEK
    before_text: str = ""
    stopped_on: date | None = None
    why_stopped: str = ""
    problems: str = ""
    wants_help: bool = False
    harvested: str = ""
    remarks: str = ""
    reminders: int | None = None
    doubt: str = ""


def answer_from(given: AnswerAsGiven, *, root: Household, at: datetime, amounts: AmountReader) -> Answer:
    """An unsaved answer with everything that could be read; `review_reason` says what could not.

    Nothing is refused: words stay as written, and an amount or share that is doubtful is left out.
    """
    doubts = [given.doubt] if given.doubt else []
    answer = Answer(
        household=given.household,
        counted_under=root,
        participant=given.participant,
        channel=given.channel,
        answered_on=given.answered_on,
        received_on=given.received_on or given.answered_on,
        entered_at=at,
        composting=given.composting,
        asked_per=given.per.value,
        reminders=given.reminders,
        **_words(given),
        **_amounts(given, doubts, amounts),
        browns_ml_per_week=_browns(given, doubts, amounts),
        **_before(given, doubts),
    )
    doubts += _contradictions(answer, root) + _impossible_days(answer, at)
    answer.review_reason = _within_field("review_reason", "; ".join(doubts))
    return answer


def _words(given: AnswerAsGiven) -> dict[str, Any]:
    """Everything kept as written; what is too long for its field goes on in the remarks."""
    texts = {
        "food_as_written": given.food_text,
        "yard_as_written": given.yard_text,
        "before_as_written": given.before_text,
        "why_stopped": given.why_stopped,
        "harvested": given.harvested,
    }
    too_long = [text for name, text in texts.items() if len(text) > _longest(name)]
    return {name: _within_field(name, text) for name, text in texts.items()} | {
        "stopped_on": given.stopped_on,
        "problems": given.problems,
        "wants_help": given.wants_help,
        "remarks": "\n".join(filter(None, [given.remarks, *too_long])),
    }


def _amounts(given: AnswerAsGiven, doubts: list[str], amounts: AmountReader) -> dict[str, int | None]:
    stopped = given.composting == Answer.Composting.STOPPED
    fields: dict[str, int | None] = {}
    for material, text in ((Material.FOOD, given.food_text), (Material.YARD, given.yard_text)):
        read = amounts.read(text, material, given.per) if text.strip() else None
        millilitres, grams = _amount(text, read, doubts, stopped) if read else (None, None)
        fields |= {f"{material}_ml_per_week": millilitres, f"{material}_g_per_week": grams}
    return fields | STOPPED_IS_NOTHING if stopped else fields


def _browns(given: AnswerAsGiven, doubts: list[str], amounts: AmountReader) -> int | None:
    text = given.browns_text or ""
    read = amounts.read(text, Material.BROWNS, given.per) if text.strip() else None
    stopped = given.composting == Answer.Composting.STOPPED
    millilitres, _grams = _amount(text, read, doubts, stopped) if read else (None, None)
    return millilitres


STOPPED_IS_NOTHING = {
    "food_ml_per_week": 0,
    "food_g_per_week": None,
    "yard_ml_per_week": 0,
    "yard_g_per_week": None,
}


def _amount(
    text: str, amount: Amount | NotAnAmount, doubts: list[str], stopped: bool
) -> tuple[int | None, int | None]:
    if isinstance(amount, NotAnAmount):
        doubts.append(str(amount).rstrip("."))
        return None, None
    said = amount.millilitres_per_week, amount.grams_per_week
    if stopped and any(said):
        doubts.append(_("they stopped, yet say '%(text)s'") % {"text": text})
    if amount.implausible:
        doubts.append(amount.implausible)
    return said if max(n or 0 for n in said) <= MOST_ML else (None, None)


def _before(given: AnswerAsGiven, doubts: list[str]) -> dict[str, int | None]:
    try:
        before = read_before(given.before_text)
    except NotAPlace as why:
        doubts.append(str(why).rstrip("."))
        before = Before()
    return {name: getattr(before, name) for name in Before.__slots__}


def _contradictions(answer: Answer, root: Household) -> list[str]:
    doubts = []
    to_trash = (answer.food_trash_percent or 0) + (answer.yard_trash_percent or 0)
    if root.composting_before == Household.Composting.PRIOR and to_trash:
        doubts.append(
            _("they composted before they had the bin, yet say that it went to trash ('%(text)s')")
            % {"text": answer.before_as_written}
        )
    if answer.stopped_on and answer.is_active:
        doubts.append(_("they give a day on which they stopped, yet say that they compost"))
    return doubts


def _impossible_days(answer: Answer, at: datetime) -> list[str]:
    doubts = []
    if answer.answered_on > timezone.localdate(at):
        doubts.append(_("the answer is dated in the future"))
    if answer.stopped_on and answer.stopped_on > answer.answered_on:
        doubts.append(_("they stopped only after the day of the answer"))
    if answer.received_on < answer.answered_on:
        doubts.append(_("it was received before the day of the answer"))
    return doubts


def _longest(name: str) -> int:
    return getattr(Answer._meta.get_field(name), "max_length", None) or 0


def _within_field(name: str, text: str) -> str:
    return text if len(text) <= _longest(name) else text[: _longest(name) - 1] + "…"
