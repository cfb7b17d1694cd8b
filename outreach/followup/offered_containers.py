"""The containers that the form shows as pictures, and how a choice of one becomes words that the reader knows.

What is chosen goes through the same reading as paperwork: '2.5 5-gallon bucket', '3 wheelbarrow a month', 'none'.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from diversion.materials import Material
from outreach.followup.own_containers import OwnContainer, folded

NOTHING = "none"
# How full each of them was, in parts of one.
FILLS: dict[str, tuple[float, str | Promise]] = {
    "full": (1.0, _("full")),
    "three_quarters": (0.75, _("three quarters full")),
    "half": (0.5, _("half full")),
    "quarter": (0.25, _("a quarter full")),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """One picture: the key it is kept under, its name for the reader of the page, its words for ours."""

    key: str
    name: str | Promise
    words: str
    symbol: str


_TUB = Offered(key="quart", name=_("quart tub"), words="quart", symbol="tub")
_PAIL = Offered(key="kitchen-pail", name=_("kitchen pail, 1 gallon"), words="kitchen pail", symbol="pail")
_BUCKET = Offered(
    key="five-gallon-bucket", name=_("5-gallon bucket"), words="5-gallon bucket", symbol="bucket"
)
_BAG = Offered(key="paper-yard-bag", name=_("paper yard bag"), words="paper yard bag", symbol="bag")
_BARROW = Offered(key="wheelbarrow", name=_("wheelbarrow"), words="wheelbarrow", symbol="wheelbarrow")
_BARREL = Offered(key="barrel", name=_("32-gallon barrel"), words="32-gallon barrel", symbol="barrel")
STANDARD = {
    Material.FOOD: (_TUB, _PAIL, _BUCKET),
    Material.YARD: (_BUCKET, _BAG, _BARROW, _BARREL),
    Material.BROWNS: (_PAIL, _BUCKET, _BAG),
}


def offered(material: Material) -> list[Offered]:
    """The standard ones for a material, then the programme's own in use."""
    own = [
        Offered(key=f"own-{one.pk}", name=one.name, words=folded(one.name), symbol="own")
        for one in OwnContainer.objects.in_use()
    ]
    return [*STANDARD[material], *own]


def as_words(said: Mapping[str, Any], material: Material) -> str:
    """What was chosen for a material, as a resident would write it; '' where nothing was."""
    chosen = said.get(f"{material}_container", "")
    if chosen in {"", NOTHING}:
        return str(chosen)
    words = {one.key: one.words for one in offered(material)}.get(chosen)
    if words is None:
        return ""
    share, _name = FILLS[said.get(f"{material}_fill") or "full"]
    often = " a month" if material is Material.YARD else ""
    return f"{(said.get(f'{material}_count') or 1) * share:g} {words}{often}"
