"""Where scraps and trimmings went before the bin: a household's words turned into whole percents.

Only two shares matter to the figures: what went to trash (and so towards a landfill) and what was
composted already, at home or from a green cart. A garbage disposal, animals and the lawn are neither.

The question is asked once, for food scraps and yard trimmings together, so a place counts for both, but
for two places that can only be meant of one of them: nobody puts yard trimmings down a garbage disposal,
nor leaves food on the lawn. There the other material is 'not said', which is not the same as 0 %.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

ALL = 100


class Place(NamedTuple):
    """A place that people name: shares of what goes there, and which material it can be meant of."""

    words: str
    trash: int
    composted: int
    of_food: bool = True
    of_yard: bool = True


# In order: 'garbage disposal' before 'garbage', 'green cart' before 'cart'. English, then Spanish.
PLACES = (
    Place(
        r"(?:garbage |food |sink |kitchen )?disposals?|disposer|down the (?:sink|drain)|triturador\w*",
        0,
        0,
        of_yard=False,
    ),
    Place(
        r"(?:left|leave|stays?|mulched|mowed)?(?: it)? ?(?:on|into) (?:the |my |our )?"
        r"(?:lawn|grass|yard|ground)|grass ?cycl\w+|en el c[eé]sped",
        0,
        0,
        of_food=False,
    ),
    Place(r"(?:fed |to |for )*(?:the |my |our )?(?:animals?|chickens?|goats?|pigs?|gallinas|animales)", 0, 0),
    Place(
        r"(?:green|organics?|yard(?: waste| trimmings)?|brown organics|compost|curbside|city|food scraps?)"
        r"(?: waste| organics| compost)? (?:cart|can|bin|container|barrel|pickup|collection|service)s?"
        r"|green waste|curbside(?: compost\w*)?|organics"
        r"|(?:carrito|contenedor|bote|cubo) (?:verde|org[aá]nico)",
        0,
        ALL,
    ),
    Place(
        r"(?:composted|compost(?:ing)?|compost pile|pile|backyard compost\w*|home compost\w*)(?: it)?"
        r"(?: (?:at|in) (?:home|the (?:back)?yard|a pile|my yard))?(?: pile| heap)?|composta\w*(?: en casa)?",
        0,
        ALL,
    ),
    Place(
        r"(?:the |my |regular |kitchen )*"
        r"(?:trash|garbage|rubbish|landfill|dump|black|gr[ae]y|waste)(?: (?:can|cart|bin|bag|barrel))?s?"
        r"|(?:la )?basura|vertedero",
        ALL,
        0,
    ),
)
ANY_PLACE = re.compile("|".join(rf"\b(?P<p{i}>{place.words})\b" for i, place in enumerate(PLACES)))
NOTHING_SAID = re.compile(r"(?:|-+|n/?a|none|nothing|not sure|unknown|don'?t know|no s[eé])[.!?]*")
SHARES = {
    "half": 50,
    "mitad": 50,
    "quarter": 25,
    "third": 33,
    "two thirds": 67,
    "three quarters": 75,
    "all": ALL,
}
SHARE = (
    r"(?P<percent>\d{1,3}) ?(?:%|percent|por ciento)|(?P<top>\d)/(?P<bottom>\d)"
    r"|(?P<word>two thirds|three quarters|half|mitad|quarter|third|all)|(?P<rest>(?:the )?rest|remainder|resto)"
)
FILLER = re.compile(
    r"\b(?:a|an|of|it|in|into|to|the|and|with|went|goes|put|threw|y|en|la|el|de|about|mixed|mix|both)\b|[,;:.&+()/-]"
)
ROUNDING = 1
NOT_SAID, THE_REST = -1, -2


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """Shares in whole percent, None where not said; the rest was neither trash nor composted."""

    food_trash_percent: int | None = None
    food_composted_percent: int | None = None
    yard_trash_percent: int | None = None
    yard_composted_percent: int | None = None


class NotAPlace(Exception):
    """Words about where it went before that cannot be turned into shares; a person has to look."""

    def __init__(self, text: str, reason: str) -> None:
        self.text, self.reason = text, reason
        super().__init__(f"Where it went before, '{text}': {reason}.")


@lru_cache(maxsize=8192)
def read_before(text: str) -> Before:
    """Understand 'Trash', 'Green cart', 'half trash, half green cart', 'compost pile 80 %, rest trash'.

    Raises
    ------
    NotAPlace
        If a place is not known, or several are named without their shares.
    """
    words = re.sub(r"\s+", " ", text.strip().lower())
    if NOTHING_SAID.fullmatch(words):
        return Before()
    shares = _shares_in(text, words)
    food = all(place.of_food for place, _ in shares)
    yard = all(place.of_yard for place, _ in shares)
    return Before(
        food_trash_percent=_share(shares, "trash") if food else None,
        food_composted_percent=_share(shares, "composted") if food else None,
        yard_trash_percent=_share(shares, "trash") if yard else None,
        yard_composted_percent=_share(shares, "composted") if yard else None,
    )


def _places_in(words: str) -> tuple[list[Place], list[str]]:
    """The places named, in order, and the words before, between and after them."""
    places, gaps, since = [], [], 0
    for match in ANY_PLACE.finditer(words):
        places.append(PLACES[int((match.lastgroup or "p0")[1:])])
        gaps.append(words[since : match.start()])
        since = match.end()
    return places, [*gaps, words[since:]]


def _shares_in(text: str, words: str) -> list[tuple[Place, int]]:
    places, gaps = _places_in(words)
    if not places:
        raise NotAPlace(text, "no place in it is known; choose trash, green cart, composted or disposal")
    said = [_percent(text, gap) for gap in gaps]
    if said[0] is NOT_SAID and said[-1] is not NOT_SAID:
        percents = said[1:]  # 'trash 80 %, green cart 20 %'
    elif said[-1] is NOT_SAID:
        percents = said[:-1]  # '80 % trash, 20 % green cart'
    else:
        raise NotAPlace(text, "it is not clear which share belongs to which place")
    return _adding_up(text, list(zip(places, percents, strict=True)))


def _adding_up(text: str, said: list[tuple[Place, int]]) -> list[tuple[Place, int]]:
    """The shares, the one that is not said being the rest; they must come to all of it."""
    if len(said) == 1 and said[0][1] < 0:
        return [(said[0][0], ALL)]
    if sum(percent < 0 for _, percent in said) > 1:
        raise NotAPlace(text, "it names several places; say how much went to each")
    known = sum(percent for _, percent in said if percent >= 0)
    shares = [(place, ALL - known if percent < 0 else percent) for place, percent in said]
    total = sum(percent for _, percent in shares)
    if known > ALL + ROUNDING or abs(total - ALL) > ROUNDING:
        raise NotAPlace(text, f"the shares come to {max(known, total)} %, not 100 %")
    return shares


def _percent(text: str, gap: str) -> int:
    """The share said between two places; below 0 where none is, or where it is 'the rest'."""
    found = list(re.finditer(SHARE, gap))
    if len(found) > 1 or FILLER.sub("", re.sub(SHARE, "", gap)).strip():
        raise NotAPlace(text, f"it is not clear what '{gap.strip()}' says")
    if not found:
        return NOT_SAID
    share = found[0]
    if share["rest"]:
        return THE_REST
    if share["percent"]:
        return int(share["percent"])
    if share["word"]:
        return SHARES[share["word"]]
    return round(ALL * int(share["top"]) / max(int(share["bottom"]), 1))


def _share(shares: list[tuple[Place, int]], of: str) -> int:
    total: int = sum(percent * getattr(place, of) for place, percent in shares)
    return min(round(total / ALL), ALL)
