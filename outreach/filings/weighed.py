"""What the programme weighed by itself: homes and ratios of all its seasons up to a cut-off, gathered and frozen.

One ratio serves every filing of the programme, also that of one jurisdiction: how people judge a bucket does not
end at a city's border, and twenty homes in each place will rarely weigh.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from outreach.followup.weighed_homes import MATERIALS, WeighedMaterial, weighed

Weighed = tuple[WeighedMaterial, ...]
FIELDS = {"food": "food_weighed", "yard": "yard_weighed"}


def gather_weighed(*, cut_off: date) -> Weighed:
    """The homes of each material whose weeks had ended by the cut-off; without names, in order of their sums."""
    return tuple(weighed(material, on=cut_off) for material in MATERIALS)


def calibrations(found: Iterable[WeighedMaterial]) -> dict[str, Any]:
    """Ratios as an account's inputs take them; None for a material that too few homes weighed."""
    return {FIELDS[one.material]: one.calibration_if_any() for one in found}


def weighed_from(data: Iterable[Mapping[str, Any]] | None) -> Weighed:
    """As it was frozen; nothing in a filing that did not keep it."""
    return tuple(WeighedMaterial.from_dict(dict(one)) for one in data or ())
