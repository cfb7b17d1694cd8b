"""What the office types about a Door: passes, the table, held events, and closing."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.bins.forms import MOST_BINS, CentsField
from outreach.bins.models import BinModel
from outreach.door import closing, live
from outreach.door.closing import Counted
from outreach.door.models import Copay, DoorEvent, DoorTable
from outreach.workshops.models import Workshop


class PassForm(forms.Form):
    """A new code."""

    may_except = forms.BooleanField(
        label=_("Whoever has it may give a bin outside the rule, with a reason"), required=False
    )


class TableForm(forms.ModelForm):
    """From where the bins of the Door come."""

    class Meta:
        model = DoorTable
        fields = ("place",)

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["place"].queryset = self.fields["place"].queryset.stores()  # type: ignore[attr-defined]


class SetAsideForm(forms.Form):
    reason = forms.CharField(
        label=_("Reason"), max_length=300, help_text=_("It is kept with what the device sent.")
    )


class CorrectionForm(forms.Form):
    """A walk-in whose name or address cannot be read as it was typed."""

    name = forms.CharField(label=_("Name"), max_length=200)
    street = forms.CharField(
        label=_("Street address"), max_length=200, help_text=_("House number and street.")
    )
    unit = forms.CharField(label=_("Unit"), max_length=40, required=False)
    city = forms.CharField(label=_("City"), max_length=120, required=False)
    zip = forms.CharField(label=_("ZIP"), max_length=10, required=False)

    @classmethod
    def of(cls, event: DoorEvent) -> dict[str, Any]:
        """As it was typed at the Door."""
        return {name: event.body.get(name, "") for name in cls.base_fields}


class ClosingForm(forms.Form):
    """What was found when the table was packed up."""

    cash_cents = CentsField(label=_("Cash found, $"))
    cheques_cents = CentsField(label=_("Cheques found, $"))
    difference_explained = forms.CharField(
        label=_("Why they differ"),
        max_length=500,
        required=False,
        help_text=_("Needed where bins or money are not what was noted."),
    )
    devices_reason = forms.CharField(
        label=_("Why it is closed without the devices that are still out"), max_length=300, required=False
    )
    materials = forms.CharField(
        label=_("What goes back"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Signs, tools, tables, leaflets, and where to."),
    )

    def __init__(self, *args: Any, workshop: Workshop, devices_left: int, **options: Any) -> None:
        super().__init__(*args, **options)
        self._models: dict[str, BinModel] = {}
        noted = closing.noted_cents(workshop)
        self.initial.update(cash_cents=noted[Copay.How.CASH], cheques_cents=noted[Copay.How.CHEQUE])
        if not devices_left:
            del self.fields["devices_reason"]
        for shelf in live.shelves(workshop):
            self._add(shelf)
        self.order_fields([*self._models, *self.base_fields])

    def _add(self, shelf: live.Shelf) -> None:
        name = f"bins_{shelf.bin_model.pk}"
        self._models[name] = shelf.bin_model
        label = _("%(model)s left, counted") % {"model": shelf.bin_model}
        told = _("The ledger says %(left)d.") % {"left": shelf.left}
        self.fields[name] = forms.IntegerField(label=label, min_value=0, max_value=MOST_BINS, help_text=told)

    def counted(self) -> Counted:
        said = self.cleaned_data
        others = ("cash_cents", "cheques_cents", "difference_explained", "devices_reason", "materials")
        bins = {model: said[name] for name, model in self._models.items()}
        return Counted(bins=bins, **{name: said[name] for name in others if name in said})
