"""What people type about funding sources, budget lines, costs, hours and rates."""

import re
from collections.abc import Iterable, Mapping
from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Model, QuerySet
from django.utils.translation import gettext_lazy as _

from outreach.funding import sharing
from outreach.funding.giving import in_hours
from outreach.funding.models import BudgetLine, Cost, FundingSource, HourRate, Hours
from outreach.funding.spending import in_dollars
from outreach.workshops.models import Workshop

DOLLAR = 100
# So many shares have a field on the form; a record with more has one more than it has.
SHARES_ON_FORM = 3


class DollarsField(forms.DecimalField):
    """Dollars and cents as typed, whole cents as kept; nothing typed is 0."""

    def __init__(self, **options: Any) -> None:
        super().__init__(min_value=0, max_value=1_000_000_000, decimal_places=2, **options)

    def clean(self, value: Any) -> int:
        return int((super().clean(value) or 0) * DOLLAR)

    def prepare_value(self, value: Any) -> Any:
        return f"{value / DOLLAR:.2f}" if isinstance(value, int) else value


class OpenDollarsField(DollarsField):
    """The same; nothing typed is left open."""

    def clean(self, value: Any) -> int | None:  # type: ignore[override]
        return super().clean(value) if value not in self.empty_values else None


class MinutesField(forms.CharField):
    """Hours as people write them, 2:30 or 2.5, kept as whole minutes; nothing typed is left open."""

    default_error_messages: ClassVar = {
        "not_hours": _("Write hours and minutes as 2:30, or hours as 2.5."),
    }

    def clean(self, value: Any) -> int | None:
        text = super().clean(value)
        if not text:
            return None
        if match := re.fullmatch(r"(\d{1,2}):([0-5]\d)", text):
            return int(match[1]) * 60 + int(match[2])
        if match := re.fullmatch(r"(\d{1,2})(?:[.,](\d{1,2}))?", text):
            part = (match[2] or "").ljust(2, "0")
            return int(match[1]) * 60 + round(int(part) * 60 / 100)
        raise ValidationError(self.error_messages["not_hours"], code="not_hours")

    def prepare_value(self, value: Any) -> Any:
        return in_hours(value).removesuffix(" h") if isinstance(value, int) else value


def _day(label: Any, **options: Any) -> forms.DateField:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, widget=widget, **options)


class FundingSourceForm(forms.ModelForm):
    """A grant or budget."""

    starts_on = _day(_("From"))
    ends_on = _day(_("Until, inclusive"), required=False, help_text=_("Leave empty where it goes on."))
    amount_cents = DollarsField(label=_("Amount, $"), required=False)
    match_required_cents = DollarsField(
        label=_("Match required, $"), required=False, help_text=_("What unpaid hours are to be worth.")
    )
    fiscal_year_starts_month = forms.IntegerField(
        label=_("Its fiscal year starts in month"),
        min_value=1,
        max_value=12,
        required=False,
        help_text=_("For fiscal years alone: 7 is July."),
    )
    own_year_starts_on = _day(
        _("Its own year starts on"),
        required=False,
        help_text=_("For years of its own alone; where empty, the day from which it pays."),
    )

    class Meta:
        model = FundingSource
        fields: ClassVar = [
            "name", "funder", "grant_number", "starts_on", "ends_on", "amount_cents", "match_required_cents",
            "clock", "fiscal_year_starts_month", "own_year_starts_on", "may_serve", "may_serve_districts", "note",
        ]  # fmt: skip
        widgets: ClassVar = {
            "may_serve": forms.CheckboxSelectMultiple,
            "may_serve_districts": forms.CheckboxSelectMultiple,
        }
        help_texts: ClassVar = {"may_serve": _("Nothing chosen here or below: whoever the programme serves.")}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        # A form that does not send the clock keeps the one on record.
        self.fields["clock"].required = False

    def clean_clock(self) -> str:
        return self.cleaned_data["clock"] or self.instance.clock

    def clean_fiscal_year_starts_month(self) -> int:
        return self.cleaned_data["fiscal_year_starts_month"] or self.instance.fiscal_year_starts_month


class BudgetLineForm(forms.ModelForm):
    """What a source grants for one kind of cost."""

    amount_cents = DollarsField(label=_("Amount, $"))

    class Meta:
        model = BudgetLine
        fields: ClassVar = ["kind", "name", "amount_cents"]
        help_texts: ClassVar = {
            "kind": _("What orders of the source bring is charged to its line for bins by itself."),
            "name": _("Where it has one of its own; it tells two lines of one kind apart."),
        }


class SharesForm(forms.ModelForm):
    """A whole and who pays for it, or whom it matches: pairs of fields, filled from the top."""

    whole: ClassVar[str]
    payers: ClassVar[str]
    first_label: ClassVar[Any]
    further_label: ClassVar[Any]
    share_label: ClassVar[Any]

    def __init__(self, *args: Any, known: Mapping[Any, int] | None = None, **options: Any) -> None:
        super().__init__(*args, **options)
        pairs = list((known or {}).items())
        for number in range(1, max(SHARES_ON_FORM, len(pairs) + 1) + 1):
            payer, share = pairs[number - 1] if number <= len(pairs) else (None, None)
            self._add_pair(number, payer, share)
        if self.instance.pk:
            self.fields["reason"] = forms.CharField(
                label=_("Why it is corrected"), max_length=300, help_text=_("It is kept with the record.")
            )

    def _add_pair(self, number: int, payer: Model | None, share: int | None) -> None:
        self.fields[f"paid_by_{number}"] = forms.ModelChoiceField(
            self.those_who_pay(),
            label=self.first_label if number == 1 else self.further_label,
            required=number == 1 and self.needs_one(),
            initial=payer,
        )
        self.fields[f"share_{number}"] = self.share_field(
            label=self.share_label,
            required=False,
            initial=share,
            help_text=_("Empty: all that the others leave.") if number == 1 else "",
        )

    def those_who_pay(self) -> QuerySet[Any]:
        raise NotImplementedError

    def share_field(self, **options: Any) -> forms.Field:
        raise NotImplementedError

    def needs_one(self) -> bool:
        return True

    def in_words(self, amount: int) -> str:
        raise NotImplementedError

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        pairs = list(self._pairs(cleaned))
        whole = cleaned.get(self.whole)
        self.shares: dict[Any, int] = {}
        if pairs and whole and not self.errors:
            self.shares = sharing.parted(whole, pairs, self.in_words)
        return cleaned

    def _pairs(self, cleaned: Mapping[str, Any]) -> Iterable[tuple[Any, int | None]]:
        numbers = [int(name.rsplit("_", 1)[1]) for name in self.fields if name.startswith("paid_by_")]
        for number in numbers:
            payer, share = cleaned.get(f"paid_by_{number}"), cleaned.get(f"share_{number}")
            if payer is not None:
                yield payer, share
            elif share and f"paid_by_{number}" not in self.errors:
                self.add_error(f"paid_by_{number}", _("Say whose share this is, or empty it."))


class CostForm(SharesForm):
    """What was spent, and the budget lines that pay it."""

    whole = "amount_cents"
    first_label, further_label, share_label = _("Paid by"), _("Also paid by"), _("Its share, $")

    spent_on = _day(_("Spent on"))
    amount_cents = DollarsField(label=_("Amount, $"))
    workshop = forms.ModelChoiceField(
        Workshop.objects.with_names(),
        label=_("Workshop"),
        required=False,
        help_text=_("Where it was for one."),
    )

    class Meta:
        model = Cost
        fields: ClassVar = ["spent_on", "amount_cents", "what_for", "paperwork", "workshop", "note"]
        help_texts: ClassVar = {
            "what_for": _("Auditors and grant officers read this: name no resident and no volunteer."),
        }

    def those_who_pay(self) -> QuerySet[Any]:
        return BudgetLine.objects.with_source()

    def share_field(self, **options: Any) -> forms.Field:
        return OpenDollarsField(**options)

    def in_words(self, amount: int) -> str:
        return in_dollars(amount)


class HoursForm(SharesForm):
    """One volunteer's time on one day, and what it is match for."""

    whole = "minutes"
    first_label, further_label, share_label = _("Match for"), _("Also match for"), _("Its share, hours")

    given_on = _day(_("Day"))
    minutes = MinutesField(label=_("Hours"), help_text=_("As 2:30, or 2.5."))
    workshop = forms.ModelChoiceField(
        Workshop.objects.with_names(),
        label=_("Workshop"),
        required=False,
        help_text=_("Where it was for one."),
    )

    class Meta:
        model = Hours
        fields: ClassVar = ["given_on", "minutes", "doing", "volunteer", "workshop", "paperwork", "note"]
        labels: ClassVar = {"volunteer": _("Who")}
        help_texts: ClassVar = {"volunteer": _("May stay empty; only the office sees it.")}

    def those_who_pay(self) -> QuerySet[Any]:
        return FundingSource.objects.order_by("name")

    def share_field(self, **options: Any) -> forms.Field:
        return MinutesField(**options)

    def needs_one(self) -> bool:
        return False

    def in_words(self, amount: int) -> str:
        return in_hours(amount)


class HourRateForm(forms.ModelForm):
    """What an unpaid hour is worth from a day on."""

    cents_per_hour = DollarsField(label=_("Worth of an hour, $"))
    in_force_from_on = _day(_("In force from"))
    looked_up_on = _day(_("Looked up on"))

    class Meta:
        model = HourRate
        fields: ClassVar = ["cents_per_hour", "in_force_from_on", "source", "looked_up_on"]
        help_texts: ClassVar = {
            "source": _(
                "Table, year and page, or the city's own wage for such work: what the grant officer will ask."
            ),
        }


class VoidForm(forms.Form):
    """Why something on record is taken back."""

    reason = forms.CharField(label=_("Reason"), max_length=300, help_text=_("It is kept with the record."))


class PeriodForm(forms.Form):
    """Between which days figures are shown; both may stay empty."""

    first_day = _day(_("From"), required=False)
    last_day = _day(_("To"), required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        first_day, last_day = cleaned.get("first_day"), cleaned.get("last_day")
        if first_day and last_day and last_day < first_day:
            raise ValidationError(_("The last day comes before the first."))
        return cleaned
