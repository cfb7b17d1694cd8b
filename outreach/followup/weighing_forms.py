"""What the office types about a season of weighing and the homes in it."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.followup.models import WeighIn, WeighInSeason
from outreach.followup.models.weighing import MOST_SEED
from outreach.followup.site_check_forms import MOST_DRAWN, SEED_HELP
from outreach.households.models import Household

USUAL_WEEKS = 4


def day_widget() -> forms.DateInput:
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class SeasonForm(forms.ModelForm):
    """Name, first day, number of weeks."""

    class Meta:
        model = WeighInSeason
        fields = ("name", "from_on", "weeks")
        widgets = {"from_on": day_widget()}
        labels = {"from_on": _("First day"), "weeks": _("Weeks")}
        help_texts = {
            "weeks": _(
                "Four weeks tell enough of food scraps; weigh in each season of the year for trimmings."
            ),
        }

    def clean_weeks(self) -> int:
        weeks: int = self.cleaned_data["weeks"]
        latest = self.instance.latest_week_entered if self.instance.pk else 0
        if weeks < latest:
            raise forms.ValidationError(
                _("Week %(latest)s is entered already. Give at least so many weeks.") % {"latest": latest}
            )
        return weeks


class DrawForm(forms.Form):
    """How many recruits to draw, and the seed, if one was agreed on."""

    size = forms.IntegerField(
        label=_("Households to draw"),
        min_value=1,
        max_value=MOST_DRAWN,
        help_text=_(
            "About half agree where you ask well; a ratio needs 20 homes that weighed. Draw 40 or more."
        ),
    )
    seed = forms.IntegerField(
        label=_("Seed"), min_value=0, max_value=MOST_SEED, required=False, help_text=SEED_HELP
    )


class VolunteerForm(forms.Form):
    """A household found by name or address."""

    household = forms.ModelChoiceField(
        label=_("Household"), queryset=Household.objects.all(), widget=forms.HiddenInput
    )


class ProgressForm(forms.ModelForm):
    """What they replied, and where the scale is."""

    class Meta:
        model = WeighIn
        fields = ("reply", "replied_on", "scale_out_on", "scale_back_on", "note")
        widgets = {name: day_widget() for name in ("replied_on", "scale_out_on", "scale_back_on")}

    def _get_validation_exclusions(self) -> set[str]:
        # The action checks everything under the lock; here only the fields themselves.
        return {field.name for field in WeighIn._meta.fields}

    def changes(self) -> dict[str, Any]:
        return dict(self.cleaned_data)


class SetAsideForm(forms.Form):
    """Why a week says nothing."""

    why = forms.CharField(label=_("Why it is set aside"), max_length=300)
