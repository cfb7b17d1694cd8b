"""Household containers to choose from, and rows of a form that ask for a material, how many, and which."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from diversion.containers import STANDARD
from diversion.conversions import LITRES_PER_US_GALLON
from outreach.coaching.mix import Part
from outreach.coaching.published import Kind, published

MOST_CONTAINERS = 50

# Names as a resident reads them, beside the container of the standard table that holds the litres.
CONTAINERS = {
    "kitchen-pail": _("kitchen pail (1 gallon)"),
    "five-gallon-bucket": _("bucket (5 gallons)"),
    "paper-yard-bag": _("paper yard bag (30 gallons)"),
    "barrel": _("trash barrel (32 gallons)"),
    "wheelbarrow": _("wheelbarrow (6 cubic feet)"),
}
BLANK = ("", "–")


def litres_in(container: str) -> float:
    """What one of it holds. [L]"""
    return STANDARD[container].litres


def gallons(litres: float) -> float:
    """Litres as US gallons."""
    return litres / LITRES_PER_US_GALLON


def container_field(first: str) -> forms.ChoiceField:
    """Choose a container; `first` is chosen to begin with."""
    choices = list(CONTAINERS.items())
    return forms.ChoiceField(label=_("Container"), choices=choices, initial=first)


def count_field(*, required: bool, label: Any, help_text: Any = "") -> forms.FloatField:
    """How many containers: a number above 0, quarters allowed, at most fifty."""
    return forms.FloatField(
        label=label,
        help_text=help_text,
        required=required,
        min_value=0.05,
        max_value=MOST_CONTAINERS,
        widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
        error_messages={
            "required": _("Give how many containers, such as 1 or 0.5."),
            "invalid": _("Write a number in figures, such as 1 or 0.5."),
            "min_value": _("Give more than nothing, such as 0.5."),
            "max_value": _("That is more than a home pile takes. Give %(limit_value)s containers at most."),
        },
    )


class AmountRow:
    """Three fields of a form that belong together: `name`, `name_count`, `name_container`."""

    def __init__(self, *, name: str, kind: Kind, is_first: bool) -> None:
        self.name, self.kind, self.is_first = name, kind, is_first

    def fields(self) -> dict[str, forms.Field]:
        """The fields, by name."""
        materials = [(one.key, lazy_sentence(one.name)) for one in published().of_kind(self.kind)]
        is_green = self.kind is Kind.GREEN
        container = "kitchen-pail" if is_green and self.is_first else "five-gallon-bucket"
        needs_count = is_green and self.is_first
        return {
            self.name: forms.ChoiceField(
                label=_("Material"),
                choices=materials if self.is_first else [BLANK, *materials],
                required=self.is_first,
            ),
            f"{self.name}_count": count_field(
                required=needs_count, label=_("How many") if is_green else _("How many you have")
            ),
            f"{self.name}_container": container_field(container),
        }

    def bound(self, form: forms.Form) -> list[forms.BoundField]:
        """The fields as a template shows them."""
        return [form[self.name], form[f"{self.name}_count"], form[f"{self.name}_container"]]

    def part(self, cleaned: dict[str, Any]) -> Part | None:
        """What the row says; None where it names nothing."""
        if not cleaned.get(self.name):
            return None
        litres = (cleaned.get(f"{self.name}_count") or 0) * litres_in(cleaned[f"{self.name}_container"])
        return Part(feedstock=published().feedstocks[cleaned[self.name]], litres=litres)


def lazy_sentence(english: str) -> Any:
    """A sentence of the tables in the language of whoever reads it."""
    return _(english)
