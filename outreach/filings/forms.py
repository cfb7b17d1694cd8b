"""Forms of filings: what to file, and why to file again."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from diversion.factors import Horizon, Report
from diversion.findings import Finding
from diversion.settings import ODDS_SHOWN
from outreach.filings import answering, computing, offered_periods, periods
from outreach.filings.gathering import Scope
from outreach.filings.periods import Period
from outreach.places.models import Jurisdiction

ODDS_WORDS = {
    1: _("like those who answered"),
    2: _("half their odds of still composting (cautious)"),
    4: _("a quarter of their odds"),
}


def _day(label: Any) -> forms.DateField:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, required=False, widget=widget)


class BeginForm(forms.Form):
    """What a filing is about, and the choices that funders differ in."""

    jurisdiction = forms.ModelChoiceField(
        label=_("Jurisdiction"),
        queryset=Jurisdiction.objects.all(),
        required=False,
        empty_label=_("All jurisdictions"),
    )
    period = forms.ChoiceField(
        label=_("Period"),
        help_text=_(
            "Fiscal quarters and years are those of the jurisdiction, named by the year in which they end."
        ),
    )
    first_day = _day(_("First day, for other days"))
    last_day = _day(_("Last day, for other days"))
    odds = forms.TypedChoiceField(
        label=_("Households that did not answer are taken to have"),
        help_text=_("The other assumptions stand beside it in the filing."),
        coerce=float,
        choices=[(f"{odds:g}", ODDS_WORDS.get(int(odds), f"1/{odds:g}")) for odds in ODDS_SHOWN],
        initial="2",
    )
    report = forms.ChoiceField(
        label=_("Warming potentials of"),
        help_text=_("Use what the funder asks for."),
        choices=[(one.value, one.value) for one in Report],
        initial=Report.AR6.value,
    )
    horizon = forms.TypedChoiceField(
        label=_("Over how many years"),
        coerce=int,
        choices=[(int(one), str(int(one))) for one in Horizon],
        initial=int(Horizon.YEARS_100),
    )
    food_docf_scenario = forms.BooleanField(
        label=_("Food decays as the later guidelines have it (0.7 of its carbon)"), required=False
    )

    def __init__(self, *args: Any, on: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._offered = offered_periods.choices(on)
        self.fields["period"].choices = self._offered  # type: ignore[attr-defined]
        self.fields["period"].initial = str(periods.last_full_quarter(on))
        self._offer_what_was_asked_for()

    def _offer_what_was_asked_for(self) -> None:
        """Days that are not in the list, such as those of a grant that runs, go into the two fields below it."""
        asked = self.initial.get("period", "")
        if "/" in asked and all(asked != code for _name, group in self._offered for code, _words in group):
            first, _, last = asked.partition("/")
            days = {"first_day": first, "last_day": last}
            self.initial = {**self.initial, "period": offered_periods.OTHER_DAYS, **days}

    def clean(self) -> dict[str, Any]:
        """With the period that was chosen, or that the two days make."""
        cleaned = super().clean() or {}
        if "period" in cleaned:
            try:
                cleaned["period"] = self._period(cleaned)
            except periods.NotAPeriod as refusal:
                self.add_error("period", str(refusal))
        return cleaned

    def _period(self, cleaned: dict[str, Any]) -> Period:
        if cleaned["period"] == offered_periods.OTHER_DAYS:
            if not (cleaned.get("first_day") and cleaned.get("last_day")):
                raise periods.NotAPeriod(_("Give the first and the last day."))
            return periods.of_days(cleaned["first_day"], cleaned["last_day"])
        return computing.read_period(cleaned["period"], scope=Scope(jurisdiction=cleaned.get("jurisdiction")))

    @property
    def choices(self) -> dict[str, Any]:
        """The method's choices, as they are kept with a draft."""
        return {name: self.cleaned_data[name] for name in ("odds", "report", "horizon", "food_docf_scenario")}


class AnswersForm(forms.Form):
    """What is written to each finding that must be mended or answered, beside the sentence it is written to."""

    def __init__(self, *, findings: Iterable[Finding], kept: Mapping[str, Any]) -> None:
        super().__init__(prefix="answer")
        for one in findings:
            earlier = kept.get(one.code, {})
            moved = (
                "" if earlier.get("headline", one.headline) == one.headline else _("It reads otherwise now.")
            )
            self.fields[one.code] = forms.CharField(
                label=one.headline,
                help_text=f"{one.what_to_do} {moved}".strip(),
                initial=earlier.get("text", ""),
                widget=forms.Textarea(attrs={"rows": 2}),
                min_length=answering.SHORTEST,
                max_length=answering.LONGEST,
            )
            self.fields[f"{one.code}-says"] = forms.CharField(initial=one.headline, widget=forms.HiddenInput)


def answers_posted(data: Mapping[str, str]) -> dict[str, dict[str, str]]:
    """What was written on the page, by code, each with its sentence; drafts keep it, however short it is."""
    start, end = "answer-", "-says"
    codes = [key[len(start) : -len(end)] for key in data if key.startswith(start) and key.endswith(end)]
    return {
        code: {"text": text[: answering.LONGEST], "headline": data[f"{start}{code}{end}"]}
        for code in codes
        if (text := data.get(f"{start}{code}", "").strip())
    }


class RestateForm(forms.Form):
    """Why a filed period is filed again."""

    reasons = forms.CharField(
        label=_("Reasons"),
        help_text=_("What has come to light since; it stands in the restatement."),
        widget=forms.Textarea(attrs={"rows": 4}),
        max_length=2000,
    )
