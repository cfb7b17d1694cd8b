"""A resident's sheet: everything it says, composed once for the PDF and for the page. In the reader's language."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from diversion.conversions import LITRES_PER_US_GALLON
from outreach.coaching import bin_advice, local_rules, mix, rules_in_words
from outreach.coaching.amounts import CONTAINERS, litres_in
from outreach.coaching.bin_advice import Advice, Needs, Tending
from outreach.coaching.cautions import CAUTIONS
from outreach.coaching.families import Family, Ground, Reason, Space, Sun, Verdict, families_for
from outreach.coaching.filling_year import FillingYear, year_of
from outreach.coaching.models import LocalRules
from outreach.coaching.problems import problems
from outreach.coaching.published import Kind, published
from outreach.coaching.which_bin import FAMILY_WORDS

WEEKS_A_YEAR = 52
MOST_BINS_NAMED = 4
ON_THE_SHEET = ("sour", "nothing_happens", "dry", "flies", "rats", "hot")
CAUTIONS_ON_IT = ("dust", "germs", "heat", "lifting", "place")
GROUNDS = {
    Family.LIDDED_CAN: Ground.PAVED,
    Family.TUMBLER: Ground.PAVED,
    Family.WORM_BOX: Ground.PAVED,
}
SUNS = {Family.WORM_BOX: Sun.SHADE}
DOING = {
    "filling": gettext_lazy("filling"),
    "resting": gettext_lazy("resting"),
    "harvest": gettext_lazy("take compost"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetNeeds:
    """For which bin and which week a sheet is, from which day on.

    pails : kitchen pails of scraps a week. yard : containers of trimmings a week.
    litres : size of the bin; None: the usual one. [L]
    """

    family: Family
    begun_on: date
    litres: float | None = None
    pails: float = 2.0
    yard: float = 0.0
    food_container: str = "kitchen-pail"
    yard_container: str = "five-gallon-bucket"
    tending: Tending = Tending.RESTING

    @property
    def food_litres(self) -> float:
        """Scraps a week. [L]"""
        return self.pails * litres_in(self.food_container)

    @property
    def yard_litres(self) -> float:
        """Trimmings a week; worms take none. [L]"""
        return 0.0 if self.family is Family.WORM_BOX else self.yard * litres_in(self.yard_container)

    @property
    def needs(self) -> Needs:
        """The same as the bin advice takes it."""
        is_small = self.family in (Family.LIDDED_CAN, Family.TUMBLER, Family.WORM_BOX)
        return Needs(
            ground=GROUNDS.get(self.family, Ground.SOIL),
            sun=SUNS.get(self.family, Sun.PART),
            space=Space.SMALL if is_small else Space.TWO,
            tending=Tending.TURNED if self.family is Family.TUMBLER else self.tending,
            food_litres=self.food_litres,
            yard_litres=self.yard_litres,
            bin_litres=self.litres,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What stands on a sheet. `for_whom` is empty on one without a name."""

    family: Family
    bin_words: str
    for_whom: tuple[str, ...]
    place: tuple[str, ...]
    steps: tuple[str, ...]
    greens: tuple[str, ...]
    browns: tuple[str, ...]
    recipe: tuple[str, ...]
    year: FillingYear
    dates: tuple[str, ...]
    left_out: tuple[str, ...]
    answers: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    rules: tuple[str, ...]
    call: str
    ask_url: str
    later_url: str
    later_words: tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class ForWhom:
    """Whose sheet it is, the rules where they live, and the addresses of its two codes."""

    ask_url: str
    later_url: str
    lines: tuple[str, ...] = ()
    rules: LocalRules | None = None
    # Whether the second code is where they answer later; else it is this sheet as a page.
    asks_later: bool = False


def compose(needs: SheetNeeds, whom: ForWhom) -> Sheet:
    """Everything on the sheet; its sums are those of the recipe desk and of the bin advice."""
    advice = bin_advice.advise(needs.needs, on=needs.begun_on, per_green=local_rules.browns_per_green())
    year = year_of(advice.schedule, on=needs.begun_on, first_below=advice.first_below)
    table = published()
    rules = whom.rules
    return Sheet(
        family=needs.family,
        bin_words=_bin_words(needs, advice),
        for_whom=whom.lines,
        place=_place(needs),
        steps=_steps(needs),
        greens=_materials(Kind.GREEN),
        browns=_materials(Kind.BROWN),
        recipe=_recipe(needs),
        year=year,
        dates=_dates(needs, advice, year),
        left_out=tuple(_(saying.sentence) for saying in table.left_out),
        answers=tuple((str(problems()[key].name), str(problems()[key].short)) for key in ON_THE_SHEET),
        cautions=tuple(str(CAUTIONS[key]) for key in CAUTIONS_ON_IT),
        rules=_rules(rules),
        call=rules_in_words.vector_control(rules) if rules else "",
        ask_url=whom.ask_url,
        later_url=whom.later_url,
        later_words=_later(whom),
    )


def _later(whom: ForWhom) -> tuple[str, str]:
    if whom.asks_later:
        words = _("A few months from now we ask how it goes. One minute.")
        return _("Answer our questions later"), words
    return _("This sheet on your phone"), _("For another bin or another week, too.")


def _rules(rules: LocalRules | None) -> tuple[str, ...]:
    if rules is None:
        return ()
    return (*rules_in_words.what_is_asked(rules), rules_in_words.source_of(rules))


def _materials(kind: Kind) -> tuple[str, ...]:
    """What goes in: the freely used in one line, and of each other what to watch for."""
    of_kind = published().of_kind(kind)
    free = [_(one.name) for one in of_kind if one.limit is None]
    return (", ".join(free), *(_(one.limit.sentence) for one in of_kind if one.limit is not None))


def _bin_words(needs: SheetNeeds, advice: Advice) -> str:
    gallons = advice.schedule.bin_litres / LITRES_PER_US_GALLON
    return _("%(bin)s, %(gallons)d gallons") % {
        "bin": FAMILY_WORDS[needs.family],
        "gallons": round(gallons),
    }


def _place(needs: SheetNeeds) -> tuple[str, ...]:
    """Why its usual place suits: the reasons of the bin advice, and what holds of every bin."""
    judged = {one.family: one for one in families_for(needs.needs.place)}
    own = judged[needs.family]
    reasons = [] if own.verdict is Verdict.NOT_HERE else [_in_use(reason) for reason in own.reasons]
    return (
        *reasons,
        _(
            "Level ground, some shade, near enough to the kitchen to go there in the rain, with water at hand."
        ),
    )


def _in_use(reason: Reason) -> str:
    """A reason of the bin advice, for someone who has the bin already."""
    if reason is Reason.OPEN_TO_ANIMALS:
        return _(
            "It is open: bury food in the middle and cover it. Where there are rats, put food elsewhere."
        )
    return _(str(reason))


def _steps(needs: SheetNeeds) -> tuple[str, ...]:
    if needs.family is Family.WORM_BOX:
        return (
            _("Fill the box with torn, damp paper or cardboard, and put the worms in."),
            _("Bury scraps under the paper, each time in another corner, and only as fast as they go."),
            _("Keep it damp as a wrung sponge and out of the sun. Let liquid drain off below."),
        )
    return (
        _("Begin with a hand's breadth of twigs or coarse browns, so that air comes from below."),
        _("Put scraps in the middle and cover them each time with browns."),
        _("Cut or tear what is larger than two inches."),
        _("Squeeze a handful: a wrung sponge is right. Drips: add browns. Falls apart: add water."),
    )


def _counted(count: float, container: str) -> str:
    rounded = round(count, 1)
    shown = f"{rounded:.0f}" if rounded == int(rounded) else f"{rounded:.1f}"
    return f"{shown} × {CONTAINERS[container]}"


def _recipe(needs: SheetNeeds) -> tuple[str, ...]:
    """Browns for one container of scraps, for a week of them, and what a year leaves."""
    food = published().feedstocks["food"]
    rule = local_rules.browns_per_green()
    one = litres_in(needs.food_container)
    to_one = mix.browns_for([mix.Part(feedstock=food, litres=one)], per_green=rule)
    to_week = mix.browns_for([mix.Part(feedstock=food, litres=needs.food_litres)], per_green=rule)
    return (
        _("To %(greens)s of scraps: %(browns)s of browns.")
        % {
            "greens": _counted(1, needs.food_container),
            "browns": _counted(to_one.typical / one, needs.food_container),
        },
        _("In a week of %(greens)s: %(browns)s of browns.")
        % {
            "greens": _counted(needs.pails, needs.food_container),
            "browns": _counted(to_week.typical / litres_in("five-gallon-bucket"), "five-gallon-bucket"),
        },
    )


def _dates(needs: SheetNeeds, advice: Advice, year: FillingYear) -> tuple[str, ...]:
    left = mix.harvest_of(advice.inflow_litres.typical * WEEKS_A_YEAR).litres.typical
    compost = _("A year of it leaves about %(gallons)d gallons of compost.") % {
        "gallons": round(left / LITRES_PER_US_GALLON)
    }
    if advice.schedule.one_is_enough:
        first = _("One bin will likely do. First compost from below: %(month)s.")
        return (first % {"month": _month(advice.first_below)}, compost)
    full = _("First bin likely full: %(month)s. Let it rest, and fill another.")
    ready = _("Its compost likely ready: %(month)s.")
    return (
        full % {"month": _month(advice.schedule.first_full[1])},
        ready % {"month": _month(advice.schedule.first_ready[1])},
        *_if_short(advice, year),
        compost,
    )


def _if_short(advice: Advice, year: FillingYear) -> tuple[str, ...]:
    """Where two bins in turn leave weeks without room for scraps."""
    if not year.is_short:
        return ()
    if advice.schedule.bins > MOST_BINS_NAMED:
        return (
            _("That is small for what a week brings: put in less, turn it more often, or take larger bins."),
        )
    words = ngettext(
        "At this pace %(count)d bin is wanted: put in less, turn it more often, or add a bin.",
        "At this pace %(count)d bins are wanted: put in less, turn them more often, or add a bin.",
        advice.schedule.bins,
    )
    return (words % {"count": advice.schedule.bins},)


def _month(day: date | None) -> Any:
    return date_format(day, "YEAR_MONTH_FORMAT") if day else "–"
