"""The recipe desk: what a resident has, and the browns, the mixture and the compost that come of it."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from outreach.coaching import local_rules, mix
from outreach.coaching.amounts import CONTAINERS, AmountRow, litres_in
from outreach.coaching.mix import Harvest, Mix, Part, Span
from outreach.coaching.published import Feedstock, Kind

GREEN_ROWS = [AmountRow(name=f"green_{n}", kind=Kind.GREEN, is_first=n == 1) for n in (1, 2, 3)]
BROWN_ROWS = [AmountRow(name=f"brown_{n}", kind=Kind.BROWN, is_first=n == 1) for n in (1, 2)]
M2_PER_SQUARE_FOOT = 0.09290304  # exact


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """An answer of the recipe desk; browns in litres and in the resident's own container."""

    container: str
    container_litres: float
    browns: Span
    in_hand_litres: float
    mixture: Mix
    harvest: Harvest
    feedstocks: tuple[Feedstock, ...]

    @property
    def browns_counted(self) -> Span:
        """Browns to add, in containers."""
        browns, one = self.browns, self.container_litres
        return Span(low=browns.low / one, typical=browns.typical / one, high=browns.high / one)

    @property
    def bed_square_feet(self) -> float:
        """Bed that the likely compost covers an inch deep. [square feet]"""
        return self.harvest.bed_m2.typical / M2_PER_SQUARE_FOOT


class RecipeForm(forms.Form):
    """Greens with their amounts, and browns that are at hand, with or without an amount."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for row in GREEN_ROWS + BROWN_ROWS:
            self.fields.update(row.fields())
        self.fields["green_1_count"].initial = 1

    @property
    def first_green(self) -> list[forms.BoundField]:
        """The row that is always asked."""
        return GREEN_ROWS[0].bound(self)

    @property
    def more_greens(self) -> list[list[forms.BoundField]]:
        """Rows for whoever has more."""
        return [row.bound(self) for row in GREEN_ROWS[1:]]

    @property
    def first_brown(self) -> list[forms.BoundField]:
        """The row that is always asked."""
        return BROWN_ROWS[0].bound(self)

    @property
    def more_browns(self) -> list[list[forms.BoundField]]:
        """Rows for whoever has more."""
        return [row.bound(self) for row in BROWN_ROWS[1:]]

    @property
    def more_greens_open(self) -> bool:
        """Whether one of the further rows is used or refused, and must be in sight."""
        return any(field.errors or field.value() for row in self.more_greens for field in row[:2])

    @property
    def more_browns_open(self) -> bool:
        """The same for browns."""
        return any(field.errors or field.value() for row in self.more_browns for field in row[:2])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for row in GREEN_ROWS[1:] + BROWN_ROWS[1:]:
            count = f"{row.name}_count"
            if cleaned.get(count) and not cleaned.get(row.name):
                self.add_error(row.name, _("Choose the material, or leave how many empty."))
            is_green = row.kind is Kind.GREEN
            if is_green and cleaned.get(row.name) and count in cleaned and not cleaned[count]:
                self.add_error(count, _("Give how many containers, such as 1 or 0.5."))
        return cleaned

    def recipe(self) -> Recipe:
        """The answer to a valid form."""
        greens = [part for row in GREEN_ROWS if (part := row.part(self.cleaned_data))]
        browns = [part for row in BROWN_ROWS if (part := row.part(self.cleaned_data))]
        needed = mix.browns_for(greens, in_hand=browns, per_green=local_rules.browns_per_green())
        each = needed.typical / len(browns)
        filled = [Part(feedstock=part.feedstock, litres=part.litres + each) for part in browns]
        mixture = mix.mix([*greens, *filled])
        container = self.cleaned_data["green_1_container"]
        return Recipe(
            container=str(CONTAINERS[container]),
            container_litres=litres_in(container),
            browns=needed,
            in_hand_litres=sum(part.litres for part in browns),
            mixture=mixture,
            harvest=mix.harvest_of(mixture.litres),
            feedstocks=tuple(dict.fromkeys(part.feedstock for part in (*greens, *browns))),
        )
