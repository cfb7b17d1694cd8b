"""Phrases of the frozen report about what was done and what it came to, as templates for the catalogue."""

from django.utils.translation import gettext_noop as _

PHRASES = (
    _("Home composting in {}, {}"),
    _("all jurisdictions"),
    _("fiscal year to date, from {}"),
    _("Fiscal year to date, from {}"),
    _("calendar year to date, from {}"),
    _("Calendar year to date, from {}"),
    _("From {} to {}, the programme in {} held {} with {} and handed out {}."),
    _("{n} workshop"),
    _("{n} workshops"),
    _("{n} person"),
    _("{n} people"),
    _("{n} bin"),
    _("{n} bins"),
    _("{n} household"),
    _("{n} households"),
    _("{n} answer"),
    _("{n} answers"),
    _(
        "Among households with a bin, an estimated {n} tonnes of food scraps and yard trimmings "
        "stayed out of landfill; depending on what those who did not answer are doing, the true "
        "figure lies between {n} and {n}."
    ),
    _(
        "Among households with a bin, an estimated {n} short tons of food scraps and yard "
        "trimmings stayed out of landfill; depending on what those who did not answer are doing, "
        "the true figure lies between {n} and {n}."
    ),
    _(
        "Among households with a bin, an estimated {n} tonnes of food scraps and yard trimmings "
        "stayed out of landfill."
    ),
    _(
        "Among households with a bin, an estimated {n} short tons of food scraps and yard "
        "trimmings stayed out of landfill."
    ),
    _("If they are like those who answered, it is {n}, with a 90 % interval of {}."),
    _("All answers are alike; no spread can be measured, so there is no interval."),
    _("The answers differ so much that no interval around it would mean anything."),
    _(
        "No answer in force says that any food scraps or yard trimmings went to landfill before, "
        "so none can be counted as kept out of it; an estimated {n} tonnes went into bins."
    ),
    _(
        "No answer in force says that any food scraps or yard trimmings went to landfill before, "
        "so none can be counted as kept out of it; an estimated {n} short tons went into bins."
    ),
    _("No household had been asked yet."),
    _("{} of {n} asked ({}) have told us how it is going."),
    _(
        "This is an estimate from what households told us, not a measurement, and what they would "
        "have done without the programme is not measured."
    ),
    _("There is no estimate of tonnes: {}"),
    _("No household had a bin in use in the period."),
    _("t"),
    _("short tons"),
    _("kg CH4"),
    _("t CO2e"),
    _("t CO2"),
    _("months"),
    _("bins"),
    _("kept out of landfill"),
    _("methane avoided over its lifetime"),
    _("net warming avoided"),
    _("no interval"),
    _("Answers dated up to {} count, and no later than 45 days after the quarter."),
    _(
        "Answers dated up to {} count, and no later than 45 days after each quarter of the period, or the part of one."
    ),
    _("quarter {n} of fiscal year {n}"),
    _("fiscal year {n}"),
    _("Factor set {}, sha256 {}."),
    _("What was done"),
    _(
        "People and households are counted once in each period, so quarters do not add up to the "
        "year: someone who came in two quarters counts in both, and once in the year."
    ),
    _("Bins that went home in the year to date, by family"),
    _("Bar chart of bins in the year to date: {}."),
    _("mesh"),
    _("rigid"),
    _("tumbler"),
    _("Workshops, people and bins"),
    _("What"),
    _("Workshops held"),
    _("Attendances"),
    _("People, each counted once"),
    _("Households at workshops, each counted once"),
    _("Attendances from places not served"),
    _("People in the room who are on no list"),
    _("Bins that went home"),
    _("Households that took one"),
    _("Follow-up answers received"),
    _("Bins that went home, by family"),
    _("Family"),
    _("Year to date"),
    _("All"),
    _("Who answered"),
    _(
        "Households not yet asked are those for whom no follow-up wave has come due; they are "
        "outside the response rate and estimated like the rest of their stratum."
    ),
    _("Households with a bin, and their answers in force"),
    _("Quarter"),
    _("Households with a bin"),
    _("Household-weeks"),
    _("Not yet asked"),
    _("Answers in force"),
    _("Still composting"),
    _("Response"),
    _("90 % interval of the response"),
    _("Tonnes"),
    _("Kept out of landfill"),
    _("The silent are households with a bin that did not answer."),
    _(
        "The filed figure gives them 1/{n} of the answerers' odds of still composting, since "
        "people who answer are keener; how much keener is not known, so the other assumptions "
        "stand beside it."
    ),
    _("'90 %' holds only if the silent are like those who answered."),
    _("From what went into bins to what is new, {}"),
    _("Bar chart with intervals: {}"),
    _("Bar chart: {}"),
    _("Went into bins"),
    _("Would have gone to landfill"),
    _("from households new to composting"),
    _("… from households new to composting"),
    _("Was composted before, at home or in a green cart"),
    _("Was composted before"),
    _("Kept out of landfill under each assumption about the silent"),
    _("The silent are like those who answered"),
    _("The silent have 1/{n} of their odds"),
    _("They compost nothing"),
    _("Tonnes by material, {}"),
    _("Material"),
    _("Filed"),
    _("Lowest said"),
    _("Highest said"),
    _("If the silent are alike"),
    _("90 % from"),
    _("90 % to"),
    _("food scraps"),
    _("yard trimmings"),
    _("together"),
    _("What the silent may be doing, {}: kept out of landfill"),
    _("If the silent"),
    _("Kept out"),
    _("From"),
    _("To"),
    _("are like those who answered"),
    _("have 1/{n} of their odds"),
    _("Methane"),
    _("Methane and warming"),
    _("Lifetime books all methane of the next hundred years in the quarter that kept the material out."),
    _(
        "The calendar-year view counts only what that year's landfill would have given off, from "
        "all quarters so far."
    ),
    _("The two are never added."),
    _("Warming potentials: {}, {n} years, methane not of fossil origin."),
    _(
        "Not in the net: carbon of garden trimmings that would have stayed buried, energy from "
        "captured gas, and haulage that was not needed."
    ),
    _("Kept out of landfill, quarter by quarter"),
    _("Methane and warming avoided"),
    _("Unit"),
    _("Methane avoided over its lifetime"),
    _("Methane avoided in the year {}"),
    _("Given off by composting itself"),
    _("Net warming avoided"),
    _("Beside it: carbon that would have stayed buried"),
    _("Earlier quarters as they were filed, or as today's records and factors give them."),
    _("How sure"),
    _("Drawn {n} times from the answers' spread and the ranges of the published numbers together."),
    _(
        "The limits hold 90 % of the draws, if the odds of still composting are 1/{n} as high "
        "among the silent as among those who answered."
    ),
)
