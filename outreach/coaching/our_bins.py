"""The bins that the programme hands out, to choose from on the pages for residents: those someone has confirmed."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diversion.conversions import LITRES_PER_US_GALLON
from outreach.bins.models import BinModel

FIELD = "our_bin"


class OurBinField(forms.ModelChoiceField):
    """Name and gallons of each; whoever has another bin leaves it."""

    def __init__(self) -> None:
        super().__init__(
            BinModel.objects.none(),
            label=gettext_lazy("A bin of the programme"),
            required=False,
            empty_label=gettext_lazy("another bin, or none yet"),
        )

    def label_from_instance(self, obj: Any) -> str:
        gallons = round(obj.litres / LITRES_PER_US_GALLON)
        return _("%(name)s, %(gallons)d gallons") % {"name": obj.name, "gallons": gallons}


def offer(form: forms.Form) -> None:
    """Fill the choice of a form; where the programme has confirmed no bin of a known size, it is left out."""
    ours = BinModel.objects.of_known_size()
    if ours.exists():
        form.fields[FIELD].queryset = ours  # type: ignore[attr-defined]
    else:
        del form.fields[FIELD]


def litres_of(said: dict[str, Any]) -> float | None:
    """Size of the bin that was chosen, else of the gallons that were typed. [L]"""
    if ours := said.get(FIELD):
        return float(ours.litres)
    gallons = said["bin_gallons"]
    return gallons * LITRES_PER_US_GALLON if gallons else None
