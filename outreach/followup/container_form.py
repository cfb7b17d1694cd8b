"""The form of a container of the programme's own; its size is typed in litres."""

from decimal import Decimal
from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.followup.own_containers import LEAST_ML, ML_PER_LITRE, MOST_ML, OwnContainer


class OwnContainerForm(forms.ModelForm):
    litres = forms.DecimalField(
        label=_("Size, litres"),
        min_value=Decimal(LEAST_ML) / ML_PER_LITRE,
        max_value=Decimal(MOST_ML) / ML_PER_LITRE,
        decimal_places=3,
        help_text=_("A US gallon is 3.785 litres. Fill it with a measured jug if nobody knows."),
    )

    class Meta:
        model = OwnContainer
        fields: ClassVar = ["name", "other_words", "is_retired"]
        help_texts: ClassVar = {
            "is_retired": _(
                "Tick when nobody counts in it any more; answers that come in are not read with it."
            ),
        }

    field_order = ["name", "litres", "other_words", "is_retired"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.initial["litres"] = Decimal(self.instance.ml) / ML_PER_LITRE

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        litres = cleaned.get("litres")
        # The model looks at the size together with the words.
        self.instance.ml = None if litres is None else int((litres * ML_PER_LITRE).to_integral_value())
        return cleaned
