"""A row of a follow-up export → what one household answered, in its own words."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from diversion.quantities import Amount, Material, NotAnAmount, Period
from outreach.followup.amount_reader import AmountReader
from outreach.followup.models import Answer
from outreach.households.names import PersonName
from outreach.households.phones import ReadPhone
from outreach.intake.bin_names import is_no
from outreach.intake.fields import Fields, NotRead, PassedOver
from outreach.intake.vocabulary import entry_named, fold
from outreach.places.addresses import ReadAddress
from outreach.places.serving import PlacesList

_MONTHLY = frozenset({"month", "mes", "mensual", "monthly", "mensuales"})


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerGiven:
    """One submission; `doubts` name the columns that a person has to look at."""

    answered_on: date
    composting: str
    person: PersonName
    address: ReadAddress
    email: str = ""
    phone: ReadPhone = field(default_factory=lambda: ReadPhone("", ""))
    food: str = ""
    yard: str = ""
    per: Period = Period.WEEK
    before: str = ""
    problems: str = ""
    why_stopped: str = ""
    stopped_on: date | None = None
    wants_help: bool = False
    remarks: str = ""
    doubts: tuple[str, ...] = ()
    # What keeps the whole answer from counting until someone has looked.
    unsure: str = ""
    channel: str = Answer.Channel.EXPORT


def read_answer(
    fields: Fields, places: PlacesList, per: Period, amounts: AmountReader
) -> AnswerGiven | NotRead | PassedOver:
    """Understand one row; `per` is the period that the headings of food and yard ask about."""
    person, address = fields.person(), fields.address()
    if not person.full_name and not address.street and not fields.email():
        return PassedOver()
    answered_on = fields.day("date")
    if answered_on is None:
        return NotRead(problem=_("Date: no day could be read. Give the day of the answer."))
    food, food_doubt = _amount(fields.amount("food"), Material.FOOD, per, amounts)
    yard, yard_doubt = _amount(fields.amount("yard"), Material.YARD, per, amounts)
    unsure = _one_or_a_thousand(fields)
    composting = read_composting(fields.text("composting"), food, yard)
    if not composting:
        return NotRead(problem=_("Still composting: cannot be read. Choose yes, on and off, or stopped."))
    place = places.resolve(address.city_name, address.zip_code)
    return AnswerGiven(
        answered_on=answered_on,
        composting=composting,
        person=person,
        address=address.at(place) if place.understood else address,
        email=fields.email(),
        phone=fields.phone(),
        food=fields.amount("food"),
        yard=fields.amount("yard"),
        per=per,
        doubts=tuple(filter(None, (food_doubt, yard_doubt, unsure))),
        unsure=unsure,
        **_in_their_words(fields, composting),
    )


def _one_or_a_thousand(fields: Fields) -> str:
    """The reason for review where the sheet writes decimals in both ways and a number fits both."""
    if not any(map(fields.one_or_a_thousand, ("food", "yard"))):
        return ""
    return _("The sheet writes decimals with a point and with a comma, so a number can be one or a thousand")


def _in_their_words(fields: Fields, composting: str) -> dict[str, Any]:
    help_text = fields.text("wants_help")
    stopped = composting == Answer.Composting.STOPPED
    return {
        "before": fields.text("before", joined_by="; "),
        "problems": fields.text("problems", joined_by="; "),
        "why_stopped": fields.text("why_stopped"),
        "stopped_on": fields.day("stopped_on") if stopped else None,
        "wants_help": bool(help_text) and not is_no(help_text),
        "remarks": fields.text("note", joined_by="; "),
    }


def read_composting(text: str, food: Amount | None = None, yard: Amount | None = None) -> str:
    """One of the three states; where the column is empty, amounts above nothing say 'yes'."""
    if not fold(text):
        return Answer.Composting.YES if any(map(_is_some, (food, yard))) else ""
    words = fold(text).split()
    for length in range(len(words), 0, -1):
        if begun := entry_named("composting", " ".join(words[:length])):
            return begun
    return ""


def _is_some(amount: Amount | None) -> bool:
    return amount is not None and bool(amount.millilitres_per_week or amount.grams_per_week)


def _amount(text: str, material: Material, per: Period, amounts: AmountReader) -> tuple[Amount | None, str]:
    if not text:
        return None, ""
    column = _("Food scraps") if material is Material.FOOD else _("Yard trimmings")
    amount = amounts.read(text, material, per)
    if isinstance(amount, NotAnAmount):
        return None, f"{column}: {amount.reason}."
    return amount, f"{column}: {amount.implausible}." if amount.implausible else ""


def period_asked(headings: tuple[str, ...]) -> Period:
    """'Food scraps per month' asks about a month; otherwise a question asks about a week."""
    words = {word for heading in headings for word in fold(heading).split()}
    return Period.MONTH if words & _MONTHLY else Period.WEEK
