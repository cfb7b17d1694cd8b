"""What a person types when a household answers, by phone, on paper or at a workshop."""

from datetime import date
from typing import Any

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from diversion.quantities import Period
from outreach.followup.answer_reading import AnswerAsGiven
from outreach.followup.models import Answer, Wave
from outreach.households.models import Household, Participant


def _day_field(label: str | Promise, **options: Any) -> forms.DateField:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, widget=widget, **options)  # type: ignore[arg-type]


class AnswerForm(forms.Form):
    """One answer of one household, in its own words."""

    answered_on = _day_field(_("Answered on"), help_text=_("The day on which the household said it."))
    received_on = _day_field(
        _("Received on"), required=False, help_text=_("Leave empty if it was the same day.")
    )
    channel = forms.ChoiceField(label=_("How it came"), choices=Answer.Channel.choices)
    participant = forms.ModelChoiceField(
        label=_("Who answered"),
        queryset=Participant.objects.none(),
        required=False,
        empty_label=_("not known"),
    )
    composting = forms.ChoiceField(
        label=_("Still composting?"), choices=Answer.Composting.choices, widget=forms.RadioSelect
    )
    asked_per = forms.ChoiceField(label=_("Amounts are for"), choices=Answer.Period.choices)
    food_as_written = forms.CharField(
        label=_("Food scraps"),
        max_length=200,
        required=False,
        help_text=_("As they said it: '2 gallons', 'half a five-gallon bucket', '3 lb'. Empty if not said."),
    )
    yard_as_written = forms.CharField(
        label=_("Yard trimmings"),
        max_length=200,
        required=False,
        help_text=_("As they said it: '2 bags', '0.7 barrels (32 gal)', '0.01 cu yd'. Empty if not said."),
    )
    before_as_written = forms.CharField(
        label=_("Where did it go before?"),
        max_length=200,
        required=False,
        help_text=_("'Trash', 'green cart', 'garbage disposal', 'half trash, half green cart'."),
    )
    stopped_on = _day_field(_("Stopped on"), required=False, help_text=_("If they stopped and know when."))
    why_stopped = forms.CharField(label=_("Why they stopped"), max_length=300, required=False)
    problems = forms.CharField(label=_("Problems"), required=False, widget=forms.Textarea(attrs={"rows": 2}))
    wants_help = forms.BooleanField(label=_("They want help"), required=False)
    harvested = forms.CharField(
        label=_("Compost harvested"),
        max_length=300,
        required=False,
        help_text=_("How much, and what it was used for."),
    )
    remarks = forms.CharField(label=_("Remarks"), required=False, widget=forms.Textarea(attrs={"rows": 2}))

    def __init__(self, *args: Any, household: Household, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.household, self.today = household, today
        self.fields["participant"].queryset = Participant.objects.of(household)  # type: ignore[attr-defined]

    def clean_answered_on(self) -> date:
        day: date = self.cleaned_data["answered_on"]
        if day > self.today:
            raise forms.ValidationError(_("This day is still to come. Give the day on which they answered."))
        return day

    def given(self) -> AnswerAsGiven:
        values = self.cleaned_data
        return AnswerAsGiven(
            household=self.household,
            answered_on=values["answered_on"],
            received_on=values["received_on"],
            channel=values["channel"],
            participant=values["participant"],
            composting=values["composting"],
            per=Period(values["asked_per"]),
            food_text=values["food_as_written"],
            yard_text=values["yard_as_written"],
            before_text=values["before_as_written"],
            stopped_on=values["stopped_on"],
            why_stopped=values["why_stopped"],
            problems=values["problems"],
            wants_help=values["wants_help"],
            harvested=values["harvested"],
            remarks=values["remarks"],
        )


def initial_of(answer: Answer) -> dict[str, Any]:
    """What the form shows when an answer is corrected."""
    return {name: getattr(answer, name) for name in AnswerForm.base_fields}


class WaveForm(forms.ModelForm):
    """Months after the handout, the name of the wave, how long it is open and how it is reminded of."""

    class Meta:
        model = Wave
        fields = ("months_after", "name", "is_open", "days_open", "reminders", "days_between")
        help_texts = {
            "days_open": _("A household that is asked can answer, and correct its answer, for so long."),
            "reminders": _("Nobody is reminded who has answered or asked not to be."),
            "is_open": _("Untick to stop asking it. Answers already given keep their wave."),
        }
