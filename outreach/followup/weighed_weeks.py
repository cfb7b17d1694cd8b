"""The weeks of a weigh-in: typed row by row, read, and looked at where a row is doubtful."""

import re
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from diversion import factors
from diversion.factors import PublishedFactor
from diversion.quantities import Amount, Material, NotAnAmount, Period
from outreach.followup.amount_reader import AmountReader
from outreach.followup.models import WeighedWeek, WeighIn
from outreach.followup.weighing import Act, locked_weigh_in

ML_PER_LITRE = G_PER_KG = 1000
# Water. Scraps and trimmings in a container hold air, so heavier than water for its volume is a slip of the pen.
MOST_KG_PER_LITRE = 1.0
# So many times lighter than the lightest published. Common practice, no source.
LIGHTER_TIMES = 5
BARE_NUMBER = re.compile(r"\s*[-+]?\d+([.,]\d+)?\s*")


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekAsTyped:
    """One row of the grid: which week and material, and both amounts in the household's words."""

    week: int
    material: str
    reported: str
    weighed: str

    @property
    def is_empty(self) -> bool:
        return not self.reported.strip() and not self.weighed.strip()


@transaction.atomic
def record_week(*, weigh_in: WeighIn, typed: WeekAsTyped, amounts: AmountReader, act: Act) -> WeighedWeek:
    """Write one row, or correct it; a doubtful one waits until a person has looked.

    A row that says the same as before stays as it is, with what was decided about it.

    Raises
    ------
    ValidationError
        If an amount cannot be read or is out of bounds, the week is none of the season's, or the household has not
        agreed to weigh.
    """
    locked = locked_weigh_in(weigh_in)
    _refuse_what_was_not_weighed(locked, typed)
    volume, weight = _read(typed, amounts)
    row = WeighedWeek.objects.filter(weigh_in=locked, week=typed.week, material=typed.material).first()
    row = row or WeighedWeek(weigh_in=locked, week=typed.week, material=typed.material)
    now = (typed.reported.strip(), volume.millilitres_per_week, weight.grams_per_week)
    if row.pk and (row.reported_as_written, row.reported_ml, row.weighed_g) == now:
        return row
    row.reported_as_written, row.reported_ml, row.weighed_g = now  # type: ignore[assignment]
    row.review_reason = "; ".join(_doubts(row, volume))[:300]
    row.reviewed_at = row.reviewed_by = None
    row.is_set_aside, row.why_set_aside = False, ""
    row.entered_at, row.entered_by = act.at, act.by
    row.full_clean()
    row.save()
    return row


@transaction.atomic
def settle(*, row: WeighedWeek, counts: bool, why: str, act: Act) -> WeighedWeek:
    """Let a week count as it is, or set it aside and say why; either way someone has looked."""
    row = WeighedWeek.objects.select_for_update(of=("self",)).get(pk=row.pk)
    row.reviewed_at, row.reviewed_by = act.at, act.by
    row.is_set_aside, row.why_set_aside = not counts, "" if counts else why.strip()
    row.full_clean()
    row.save()
    return row


def _refuse_what_was_not_weighed(weigh_in: WeighIn, typed: WeekAsTyped) -> None:
    if weigh_in.reply != WeighIn.Reply.AGREED:
        raise ValidationError(_("Record first that the household agreed to weigh."))
    if not 1 <= typed.week <= weigh_in.season.weeks:
        raise ValidationError(
            _("%(season)s has weeks 1 to %(last)s.")
            % {"season": weigh_in.season, "last": weigh_in.season.weeks}
        )


def _read(typed: WeekAsTyped, amounts: AmountReader) -> tuple[Amount, Amount]:
    """Volume and weight of a row; a bare number is litres on the one side, kilograms on the other."""
    if not typed.reported.strip() or not typed.weighed.strip():
        raise ValidationError(
            _("Give both what they would have reported and what they weighed; 0 for nothing.")
        )
    volume = _amount(typed.reported, "L", typed.material, amounts)
    weight = _amount(typed.weighed, "kg", typed.material, amounts)
    if volume.millilitres_per_week is None:
        raise ValidationError(
            _("'%(text)s' is a weight. Give the volume they would have reported.") % {"text": typed.reported}
        )
    if weight.grams_per_week is None:
        if weight.millilitres_per_week:
            raise ValidationError(
                _("'%(text)s' is a volume. Give what the scale showed.") % {"text": typed.weighed}
            )
        weight = Amount(
            millilitres_per_week=None,
            grams_per_week=0,
            quantity=0,
            container=None,
            understood_as=weight.understood_as,
        )
    return volume, weight


def _amount(text: str, unit: str, material: str, amounts: AmountReader) -> Amount:
    whole = f"{text.strip()} {unit}" if BARE_NUMBER.fullmatch(text) else text
    read = amounts.read(whole, Material(material), Period.WEEK)
    if isinstance(read, NotAnAmount):
        raise ValidationError(str(read))
    return read


def published(material: str) -> PublishedFactor:
    """Kilograms per litre as published, with its range."""
    return factors.load(factors.LATEST).density(Material(material))


def _doubts(row: WeighedWeek, volume: Amount) -> list[str]:
    doubts = [volume.implausible] if volume.implausible else []
    litres, kg = row.reported_ml / ML_PER_LITRE, row.weighed_g / G_PER_KG
    if not litres and not kg:
        return doubts
    if not litres:
        return [*doubts, _("something was weighed, though nothing would have been reported")]
    if not kg:
        return [*doubts, _("something would have been reported, though nothing was weighed")]
    lightest = published(row.material).low / LIGHTER_TIMES
    if kg > MOST_KG_PER_LITRE * litres:
        doubts.append(_("it weighs more than so much water"))
    elif kg < lightest * litres:
        doubts.append(_("it weighs less than a fifth of the lightest published"))
    return doubts
