"""Forms of filings: what to file, and why to file again."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from diversion.factors import Horizon, Report
from diversion.findings import Finding
from diversion.settings import ODDS_SHOWN
from outreach.filings import answering, periods
from outreach.places.models import Jurisdiction

QUARTERS_OFFERED = 12
ODDS_WORDS = {
    1: _("like those who answered"),
    2: _("half their odds of still composting (cautious)"),
    4: _("a quarter of their odds"),
}


class BeginForm(forms.Form):
    """What a filing is about, and the choices that funders differ in."""

    jurisdiction = forms.ModelChoiceField(
        label=_("Jurisdiction"),
        queryset=Jurisdiction.objects.all(),
        required=False,
        empty_label=_("All jurisdictions"),
    )
    quarter = forms.ChoiceField(label=_("Quarter"))
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
        latest = periods.last_full_quarter(on)
        offered = [str(periods.shifted(latest, -back)) for back in range(QUARTERS_OFFERED)]
        self.fields["quarter"].choices = [(one, one) for one in offered]  # type: ignore[attr-defined]
        self.fields["quarter"].initial = offered[0]

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
    """Why a filed quarter is filed again."""

    reasons = forms.CharField(
        label=_("Reasons"),
        help_text=_("What has come to light since; it stands in the restatement."),
        widget=forms.Textarea(attrs={"rows": 4}),
        max_length=2000,
    )
