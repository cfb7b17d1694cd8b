"""For which bin and which week a sheet is; on the public page nothing more is asked."""

from datetime import date

from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.coaching import our_bins
from outreach.coaching.amounts import count_field
from outreach.coaching.bin_advice import Tending
from outreach.coaching.families import Family
from outreach.coaching.models import LocalRules
from outreach.coaching.our_bins import OurBinField
from outreach.coaching.sheet import SheetNeeds
from outreach.coaching.which_bin import FAMILY_WORDS, gallons_field, tending_field


class SheetForm(forms.Form):
    """The bin, and what a week brings."""

    family = forms.ChoiceField(label=_("Your bin"), choices=list(FAMILY_WORDS.items()))
    our_bin = OurBinField()
    bin_gallons = gallons_field()
    pails = count_field(required=True, label=_("Kitchen pails of scraps a week"))
    yard = count_field(required=False, label=_("Buckets of yard trimmings a week"))
    tending = tending_field()
    town = forms.ModelChoiceField(
        LocalRules.objects.none(), label=_("Where do you live?"), required=False, empty_label=_("elsewhere")
    )

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        self.fields["pails"].initial = 2
        our_bins.offer(self)
        self.fields["family"].initial = Family.MESH
        towns = self.fields["town"]
        towns.queryset = LocalRules.objects.by_name()  # type: ignore[attr-defined]
        towns.label_from_instance = lambda rules: rules.jurisdiction.name  # type: ignore[attr-defined]
        if not towns.queryset.exists():  # type: ignore[attr-defined]
            del self.fields["town"]

    def needs(self, *, on: date) -> SheetNeeds:
        """What a valid form says, for a bin begun on a day."""
        said = self.cleaned_data
        ours = said.get(our_bins.FIELD)
        return SheetNeeds(
            family=Family(ours.family if ours else said["family"]),
            begun_on=on,
            litres=our_bins.litres_of(said),
            pails=said["pails"],
            yard=said["yard"] or 0,
            tending=Tending(said["tending"]),
        )

    def rules(self) -> LocalRules | None:
        """The local rules of where they live, if someone looked them up."""
        rules: LocalRules | None = self.cleaned_data.get("town")
        return rules
