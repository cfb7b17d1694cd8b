"""The two pages of questions that a household answers through its link. Nothing but the first is required."""

from collections.abc import Iterable, Iterator
from typing import Any

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from diversion.materials import Material
from outreach.followup.models import Answer
from outreach.followup.offered_containers import FILLS, NOTHING, offered
from outreach.households import consent_words

MOST = 999
MAY_ASK = [("yes", _("yes")), ("no", _("ask us no more"))]
# Words that the reading of paperwork knows; the form offers them, the household need not write any.
BEFORE = {
    "trash": _("all into the trash"),
    "half trash, half green cart": _("half trash, half green cart"),
    "green cart": _("into the green cart"),
    "composted": _("composted at home"),
    "garbage disposal": _("down the garbage disposal (food)"),
    "animals": _("fed to animals"),
}


def _how_many() -> forms.IntegerField:
    attrs = {"inputmode": "numeric", "min": 1, "max": MOST}
    return forms.IntegerField(
        label=_("How many"),
        min_value=1,
        max_value=MOST,
        required=False,
        widget=forms.NumberInput(attrs=attrs),
    )


def _how_full() -> forms.ChoiceField:
    choices = [(key, name) for key, (_share, name) in FILLS.items()]
    return forms.ChoiceField(label=_("How full"), choices=choices, required=False, initial="full")


def _text(label: str | Promise, longest: int, *, rows: int = 0) -> forms.CharField:
    widget = forms.Textarea(attrs={"rows": rows}) if rows else forms.TextInput()
    return forms.CharField(label=label, max_length=longest, required=False, widget=widget)  # type: ignore[arg-type]


class _PageForm(forms.Form):
    """One page: its values can be kept as JSON and shown again."""

    materials: tuple[Material, ...] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for material in self.materials:
            shown = offered(material)
            field = self.fields[f"{material}_container"]
            field.choices = [*self._first_choices(), *((one.key, one.name) for one in shown)]  # type: ignore[attr-defined]

    @staticmethod
    def _first_choices() -> Iterable[tuple[str, str | Promise]]:
        return [(NOTHING, _("nothing"))]

    def clean(self) -> dict[str, Any]:
        said = super().clean() or {}
        for material in self.materials:
            if said.get(f"{material}_count") and not said.get(f"{material}_container"):
                self.add_error(f"{material}_container", _("Choose what you counted in."))
        return said

    def said(self) -> dict[str, Any]:
        """What was chosen, as JSON holds it."""
        return {name: _plain(value) for name, value in self.cleaned_data.items() if name != "may_ask"}

    def consent(self) -> str:
        """'yes', 'no', or '' where the page does not ask, or they left it open."""
        return str(self.cleaned_data.get("may_ask", ""))


def _plain(value: Any) -> Any:
    return value.isoformat() if hasattr(value, "isoformat") else value


class FirstPage(_PageForm):
    """Still composting, and how much went into the bin."""

    materials = (Material.FOOD, Material.YARD)

    composting = forms.ChoiceField(
        label=_("Do you still compost?"),
        choices=[
            (Answer.Composting.YES, _("yes")),
            (Answer.Composting.ON_AND_OFF, _("on and off")),
            (Answer.Composting.STOPPED, _("we stopped")),
        ],
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose one; the rest may stay empty.")},
    )
    stopped_on = forms.DateField(
        label=_("Since about when?"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": _("Give a day, or leave it empty.")},
    )
    why_stopped = _text(_("Why did you stop?"), 300)
    food_container = forms.ChoiceField(
        label=_("Food scraps in the past week"), required=False, widget=forms.RadioSelect
    )
    food_count, food_fill = _how_many(), _how_full()
    yard_container = forms.ChoiceField(
        label=_("Yard trimmings in the past month"), required=False, widget=forms.RadioSelect
    )
    yard_count, yard_fill = _how_many(), _how_full()

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        if said.get("composting") != Answer.Composting.STOPPED:
            # The two questions after it are shown to nobody else; what was typed there before is taken back.
            said |= {"stopped_on": None, "why_stopped": ""}
        return said

    def food_pictures(self) -> Iterator[tuple[Any, str]]:
        """Each option of the question, with the name of its drawing."""
        return self._pictures(Material.FOOD)

    def yard_pictures(self) -> Iterator[tuple[Any, str]]:
        return self._pictures(Material.YARD)

    def _pictures(self, material: Material) -> Iterator[tuple[Any, str]]:
        symbols = {one.key: one.symbol for one in offered(material)}
        for radio in self[f"{material}_container"]:
            yield radio, symbols.get(radio.data["value"], NOTHING)


class SecondPage(_PageForm):
    """Everything else; `asks_before` where it is not known yet where these went before the bin."""

    materials = (Material.BROWNS,)

    browns_container = forms.ChoiceField(label=_("Browns in the past week"), required=False)
    browns_count = _how_many()
    before = forms.ChoiceField(
        label=_("Where did all this go before you had the bin?"),
        required=False,
        choices=[("", _("not sure")), *BEFORE.items()],
    )
    harvested = _text(_("Have you harvested compost? How much, for what?"), 200)
    problems = _text(_("Anything that does not work well?"), 1000, rows=2)
    wants_help = forms.BooleanField(label=_("Please help me with it"), required=False)
    line = _text(_("Anything else you want to tell us?"), 500)
    may_ask = forms.ChoiceField(
        label=consent_words.LABEL, required=False, choices=MAY_ASK, widget=forms.RadioSelect
    )

    def __init__(self, *args: Any, asks_before: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not asks_before:
            del self.fields["before"]

    @staticmethod
    def _first_choices() -> Iterable[tuple[str, str | Promise]]:
        return [("", _("not sure")), (NOTHING, _("none"))]
