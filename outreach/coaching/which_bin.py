"""Which bin: what a resident says of the place and of a week, and the advice in groups to read."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from outreach.coaching import bin_advice, local_rules, our_bins
from outreach.coaching.amounts import container_field, count_field, litres_in
from outreach.coaching.bin_advice import Advice, Needs, Tending
from outreach.coaching.families import Ground, Space, Suitability, Sun, Verdict
from outreach.coaching.our_bins import OurBinField

LEAST_GALLONS, MOST_GALLONS = 6, 1300


def gallons_field() -> forms.FloatField:
    """The size of a bin, in the gallons that its label says."""
    return forms.FloatField(
        label=gettext_lazy("Size of the bin in gallons"),
        required=False,
        min_value=LEAST_GALLONS,
        max_value=MOST_GALLONS,
        help_text=gettext_lazy("On its label. Not chosen yet: leave empty."),
        widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
        error_messages={
            "invalid": gettext_lazy("Write the gallons in figures, such as 80."),
            "min_value": gettext_lazy("That is too small for a bin. Give %(limit_value)s gallons or more."),
            "max_value": gettext_lazy("That is too large for a home. Give %(limit_value)s gallons or less."),
        },
    )


def tending_field() -> forms.ChoiceField:
    """Whether it is turned or left to rest."""
    return forms.ChoiceField(
        label=gettext_lazy("How will you tend it?"),
        widget=forms.RadioSelect,
        initial=Tending.RESTING,
        choices=[
            (Tending.RESTING, gettext_lazy("leave it to rest")),
            (Tending.TURNED, gettext_lazy("turn it every week or so")),
        ],
    )


class WhichBinForm(forms.Form):
    """Ground, sun, space, how the bin will be tended, and what a week brings."""

    ground = forms.ChoiceField(
        label=gettext_lazy("What would the bin stand on?"),
        widget=forms.RadioSelect,
        initial=Ground.SOIL,
        choices=[
            (Ground.SOIL, gettext_lazy("soil")),
            (Ground.GRASS, gettext_lazy("grass")),
            (Ground.GRAVEL, gettext_lazy("gravel")),
            (Ground.PAVED, gettext_lazy("paving, concrete or asphalt")),
            (Ground.BALCONY, gettext_lazy("a balcony or roof")),
        ],
    )
    sun = forms.ChoiceField(
        label=gettext_lazy("Sun"),
        widget=forms.RadioSelect,
        initial=Sun.PART,
        choices=[
            (Sun.SUN, gettext_lazy("sun most of the day")),
            (Sun.PART, gettext_lazy("some of each")),
            (Sun.SHADE, gettext_lazy("shade most of the day")),
        ],
    )
    space = forms.ChoiceField(
        label=gettext_lazy("Room"),
        widget=forms.RadioSelect,
        initial=Space.ONE,
        choices=[
            (Space.SMALL, gettext_lazy("less than 3 by 3 feet")),
            (Space.ONE, gettext_lazy("about 3 by 3 feet")),
            (Space.TWO, gettext_lazy("room for two bins side by side")),
        ],
    )
    tending = tending_field()
    food_count = count_field(
        required=False,
        label=gettext_lazy("How many"),
        help_text=gettext_lazy("In a week. Nothing: leave empty."),
    )
    food_container = container_field("kitchen-pail")
    yard_count = count_field(
        required=False,
        label=gettext_lazy("How many"),
        help_text=gettext_lazy("In an average week of the year. Nothing: leave empty."),
    )
    yard_container = container_field("five-gallon-bucket")
    our_bin = OurBinField()
    bin_gallons = gallons_field()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["food_count"].initial = 2
        our_bins.offer(self)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors and not cleaned.get("food_count") and not cleaned.get("yard_count"):
            self.add_error("food_count", _("Give how much food or how many yard trimmings a week."))
        return cleaned

    def needs(self) -> Needs:
        """What a valid form says."""
        said = self.cleaned_data
        return Needs(
            ground=Ground(said["ground"]),
            sun=Sun(said["sun"]),
            space=Space(said["space"]),
            tending=Tending(said["tending"]),
            food_litres=(said["food_count"] or 0) * litres_in(said["food_container"]),
            yard_litres=(said["yard_count"] or 0) * litres_in(said["yard_container"]),
            bin_litres=our_bins.litres_of(said),
        )

    def advice(self, *, on: date) -> Advice:
        """The answer to a valid form, for a household that starts on a day."""
        return bin_advice.advise(self.needs(), on=on, per_green=local_rules.browns_per_green())


FAMILY_WORDS = {
    "rigid": gettext_lazy("Closed bin of plastic, with a lid"),
    "lidded_can": gettext_lazy("Can with a lid, drilled"),
    "tumbler": gettext_lazy("Tumbler"),
    "worm_box": gettext_lazy("Worm box"),
    "mesh": gettext_lazy("Bin of mesh"),
    "wire_hoop": gettext_lazy("Hoop of wire"),
    "timber": gettext_lazy("Frame of timber"),
    "none": gettext_lazy("Heap without a bin"),
}
SUN_WORDS = {
    Sun.SUN: gettext_lazy("In the sun compost is ready sooner but dries out: water it, and keep the lid on."),
    Sun.PART: gettext_lazy("Some sun and some shade is a good place."),
    Sun.SHADE: gettext_lazy("In the shade it stays moist and takes longer."),
}
VERDICT_WORDS = {
    Verdict.SUITS: gettext_lazy("Suits your place"),
    Verdict.WITH_CARE: gettext_lazy("Can work, with care"),
    Verdict.NOT_HERE: gettext_lazy("Not for this place"),
}


def in_groups(families: tuple[Suitability, ...]) -> list[tuple[Any, list[tuple[Any, Suitability]]]]:
    """Families under their verdicts, best first, each with its name; verdicts without one left out."""
    groups = [
        (words, [(FAMILY_WORDS[one.family], one) for one in families if one.verdict is verdict])
        for verdict, words in VERDICT_WORDS.items()
    ]
    return [group for group in groups if group[1]]
