"""What people type about bin models, places, orders and what moves between shelves."""

from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from outreach.bins.models import BinModel, BinOrder, RuleVersion, StockPlace
from outreach.bins.naming import bin_model_key

MOST_BINS = 100_000


def day_input() -> forms.DateInput:
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class DayField(forms.DateField):
    """A day, chosen from a calendar or typed."""

    def __init__(self, label: Any, **options: Any) -> None:
        super().__init__(label=label, widget=day_input(), **options)


class CentsField(forms.DecimalField):
    """Dollars and cents as typed, whole cents as kept."""

    def __init__(self, **options: Any) -> None:
        super().__init__(min_value=0, max_value=100_000, decimal_places=2, **options)

    def clean(self, value: Any) -> int | None:
        amount = super().clean(value)
        return None if amount is None else int(amount * 100)

    def prepare_value(self, value: Any) -> Any:
        return f"{value / 100:.2f}" if isinstance(value, int) else value


class BinModelForm(forms.ModelForm):
    """A kind of bin; its name is known in any spelling of capitals and spaces."""

    unit_cost_cents = CentsField(label=_("Usual unit cost, $"), required=False)
    copay_cents = CentsField(label=_("Resident's co-pay, $"), required=False)

    class Meta:
        model = BinModel
        fields: ClassVar = ["name", "family", "litres", "has_floor", "unit_cost_cents", "copay_cents"]
        help_texts: ClassVar = {"litres": _("What it holds. A US gallon is 3.785 litres.")}

    def clean_copay_cents(self) -> int:
        return self.cleaned_data["copay_cents"] or 0

    def clean_name(self) -> str:
        name = " ".join(self.cleaned_data["name"].split())
        self.instance.name_key = bin_model_key(name)
        same = BinModel.objects.named(self.instance.name_key).exclude(pk=self.instance.pk).first()
        if same is not None:
            raise ValidationError(_("This bin model is already recorded as “%(name)s”.") % {"name": same})
        return name


class StockPlaceForm(forms.ModelForm):
    """A store, table or van."""

    class Meta:
        model = StockPlace
        fields: ClassVar = ["name"]


class OrderForm(forms.ModelForm):
    """So many bins from a supplier."""

    unit_price_cents = CentsField(label=_("Unit price, $"), required=False)

    class Meta:
        model = BinOrder
        fields: ClassVar = [
            "bin_model",
            "quantity",
            "supplier",
            "reference",
            "unit_price_cents",
            "funding_source",
            "ordered_on",
            "due_on",
            "note",
        ]
        widgets: ClassVar = {"ordered_on": day_input(), "due_on": day_input()}
        labels: ClassVar = {"bin_model": _("Bin model")}


def _quantity(label: Any, least: int = 1) -> forms.IntegerField:
    return forms.IntegerField(label=label, min_value=least, max_value=MOST_BINS)


def _store(label: Any) -> forms.ModelChoiceField:
    return forms.ModelChoiceField(StockPlace.objects.stores(), label=label)


def _any_model() -> forms.ModelChoiceField:
    return forms.ModelChoiceField(BinModel.objects.all(), label=_("Bin model"))


def _note(required: bool = False, label: Any = None) -> forms.CharField:
    return forms.CharField(label=label or _("Note"), max_length=300, required=required)


class ReceiptForm(forms.Form):
    """Bins that came from a supplier."""

    bin_model = _any_model()
    quantity = _quantity(_("Bins received"))
    to_place = _store(_("Put where"))
    received_on = DayField(_("Received on"))
    lot = forms.CharField(
        label=_("Lot"), max_length=60, required=False, help_text=_("As printed; a recall is traced by it.")
    )
    note = _note()

    def for_order(self) -> "ReceiptForm":
        """Against an order the model is the order's."""
        del self.fields["bin_model"]
        return self


class MoveForm(forms.Form):
    """Bins from one store to another."""

    bin_model = _any_model()
    quantity = _quantity(_("Bins moved"))
    from_place = _store(_("From"))
    to_place = _store(_("To"))
    moved_on = DayField(_("Moved on"))
    lot = forms.CharField(label=_("Lot"), max_length=60, required=False)
    note = _note()


class CountForm(forms.Form):
    """How many a person counted on the shelf."""

    place = _store(_("Where"))
    bin_model = _any_model()
    quantity = _quantity(_("Bins counted"), least=0)
    counted_on = DayField(_("Counted on"))
    note = _note()


class WriteOffForm(forms.Form):
    """Bins that are broken or lost."""

    place = _store(_("Where"))
    bin_model = _any_model()
    quantity = _quantity(_("Bins written off"))
    written_off_on = DayField(_("Written off on"))
    lot = forms.CharField(label=_("Lot"), max_length=60, required=False)
    note = _note(required=True, label=_("Why"))


class ReasonForm(forms.Form):
    """Why something is outside the rule, or undone."""

    reason = forms.CharField(label=_("Reason"), max_length=300, help_text=_("It is kept with the record."))


class RuleForm(forms.ModelForm):
    """A new version of the rule; earlier ones stay as they were."""

    class Meta:
        model = RuleVersion
        fields: ClassVar = [
            "jurisdiction",
            "in_force_from_on",
            "slots",
            "window",
            "window_from_on",
            "served_places_only",
            "return_frees_slot",
            "earlier_bins_count",
            "note",
        ]
        widgets: ClassVar = {"in_force_from_on": day_input(), "window_from_on": day_input()}
        labels: ClassVar = {"jurisdiction": _("Jurisdiction")}
        help_texts: ClassVar = {"window_from_on": _("Only for a window since a set day.")}
