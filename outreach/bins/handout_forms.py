"""What people type when a bin goes to a household, comes back, is replaced, or a household moves."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.bins.forms import CentsField, DayField
from outreach.bins.models import BinModel, Handout, StockPlace
from outreach.households.models import Household, Participant
from outreach.workshops.models import Workshop


class HandOutForm(forms.Form):
    """A bin for a household. The reason is asked of the office only, where the rule or the ledger says no."""

    bin_model = forms.ModelChoiceField(BinModel.objects.all(), label=_("Bin model"))
    from_place = forms.ModelChoiceField(StockPlace.objects.stores(), label=_("From"))
    handed_on = DayField(_("Handed out on"))
    lot = forms.CharField(label=_("Lot"), max_length=60, required=False)
    copay_cents = CentsField(label=_("Co-pay taken, $"), required=False)
    how = forms.ChoiceField(label=_("How it goes out"), choices=Handout.How.choices, required=False)
    picked_up_by = forms.CharField(
        label=_("Picked up by another person"),
        max_length=200,
        required=False,
        help_text=_("The name of a neighbor or relative who takes it along for them."),
    )
    note = forms.CharField(label=_("Note"), max_length=300, required=False)
    exception_reason = forms.CharField(
        label=_("Reason for an exception"),
        max_length=300,
        required=False,
        help_text=_("Who needs it and why; it is kept and counted in filings."),
    )
    workshop = forms.ModelChoiceField(Workshop.objects.all(), required=False, widget=forms.HiddenInput)
    participant = forms.ModelChoiceField(Participant.objects.none(), required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, household: Household, may_except: bool, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["participant"].queryset = Participant.objects.of(household.counted_under)  # type: ignore[attr-defined]
        if not may_except:
            del self.fields["exception_reason"]

    def clean_copay_cents(self) -> int:
        return self.cleaned_data["copay_cents"] or 0

    def clean(self) -> dict[str, Any]:
        """The roster's small form does not ask how: there it goes out at the workshop."""
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("workshop") and not cleaned.get("how"):
            cleaned["how"] = Handout.How.WORKSHOP
        return cleaned


class TakeBackForm(forms.Form):
    """A bin that a household brought back."""

    taken_back_on = DayField(_("Came back on"))
    to_place = forms.ModelChoiceField(
        StockPlace.objects.none(), label=_("Put where"), help_text=_("Scrap, where it cannot be used again.")
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["to_place"].queryset = StockPlace.objects.for_returns()  # type: ignore[attr-defined]


class ReplaceForm(forms.Form):
    """Another bin, or a part, for one that broke or was recalled."""

    bin_model = forms.ModelChoiceField(BinModel.objects.all(), label=_("Bin model"))
    from_place = forms.ModelChoiceField(StockPlace.objects.stores(), label=_("From"))
    replaced_on = DayField(_("Replaced on"))
    lot = forms.CharField(label=_("Lot"), max_length=60, required=False)
    old_bin_to = forms.ModelChoiceField(
        StockPlace.objects.none(),
        label=_("Where the old one went"),
        required=False,
        empty_label=_("it did not come back"),
    )
    note = forms.CharField(label=_("Why"), max_length=300)

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["old_bin_to"].queryset = StockPlace.objects.for_returns()  # type: ignore[attr-defined]


class MoveOutForm(forms.Form):
    """When a household moved out, and what became of the bin."""

    on = DayField(_("Moved out on"), help_text=_("The first day on which they no longer lived there."))
    bin_after = forms.ChoiceField(
        label=_("What became of the bin"), choices=Household.BinAfterMove.choices, widget=forms.RadioSelect
    )
    new_household = forms.ModelChoiceField(
        Household.objects.none(),
        label=_("The same people at their new address"),
        required=False,
        empty_label=_("not known or not recorded"),
        help_text=_(
            "Households with a person of the same name are offered. Record the new address first if it is "
            "missing. A bin that came along goes on being counted there."
        ),
    )

    def __init__(self, *args: Any, household: Household, **options: Any) -> None:
        super().__init__(*args, **options)
        names = list(household.participants.values_list("name_key", flat=True))
        found = Household.objects.roots().filter(participants__name_key__in=names, ended_on__isnull=True)
        self.fields["new_household"].queryset = found.exclude(pk=household.pk).distinct()  # type: ignore[attr-defined]


class HandoutDetailsForm(forms.ModelForm):
    """What may be corrected of a handout without touching the rule or the ledger."""

    copay_cents = CentsField(label=_("Co-pay taken, $"), required=False)

    class Meta:
        model = Handout
        fields = ("lot", "copay_cents", "note")

    def clean_copay_cents(self) -> int:
        return self.cleaned_data["copay_cents"] or 0
