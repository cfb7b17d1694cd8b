"""Phrases of the frozen report about how sure it is and what it rests on, as templates for the catalogue."""

from django.utils.translation import gettext_noop as _

PHRASES = (
    _("The limits hold 90 % of the draws, {}."),
    _("if the silent are like those who answered"),
    _("The share of carbon that decays and the warming potential are choices, not draws."),
    _("Where all answers are alike no spread can be measured; such a figure has no limits."),
    _("What makes the spread of the tonnes kept out of landfill"),
    _("Bar chart of shares of the variance: {}"),
    _("density of yard"),
    _("density of food"),
    _("season of yard trimmings"),
    _("who answered"),
    _("quitting rate"),
    _("several acting together"),
    _("Answers and factors together"),
    _("Middle of the draws"),
    _("What is uncertain"),
    _("Share of the variance"),
    _("How to be surer"),
    _(
        "What went into bins is known to ± {} (with 90 %, if the silent are like those who "
        "answered); ± {} or better needs no more of them."
    ),
    _("What went into bins is known to ± {} (with 90 %, if the silent are like those who answered)."),
    _("Everybody answered; that it is not ± {} lies in how differently households report."),
    _("{n} more, from the strata below, would make that ± {}."),
    _(
        "Even an answer from {} without one would leave ± {} and not reach ± {}: what households "
        "report varies too much."
    ),
    _("the one household"),
    _("all {n} households"),
    _("More answers narrow only what comes from having asked some and not all."),
    _(
        "Asking the same households again, the kilograms in a bucket, the season, and those who "
        "never answer stay as doubtful as they are."
    ),
    _("{n} of the households asked have not answered."),
    _(
        "Depending on what they do, the tonnage kept out of landfill is anything from {} to {} "
        "tonnes, and no number of further answers from the willing changes that."
    ),
    _(
        "Depending on what they do, the tonnage kept out of landfill is anything from {} to {} "
        "short tons, and no number of further answers from the willing changes that."
    ),
    _(
        "What settles it is a random few of the silent, asked again and again by post, telephone "
        "and at the door until nearly all of them have answered."
    ),
    _("Kept out of landfill, after chasing a random few of the silent"),
    _(
        "At the share of them still composting that the headline assumes; households not asked "
        "yet are taken to be like the silent."
    ),
    _("Silent households chased"),
    _("Part of the range settled"),
    _("Where more answers help most"),
    _("Stratum"),
    _("Made of"),
    _("More answers"),
    _("Unanswered"),
    _("Within a stratum, pick at random; calling only those who are easy to reach tells about them alone."),
    _("Places and families"),
    _("A part assumes that households of a stratum behave alike everywhere."),
    _("Parts add up to the whole."),
    _("Counts under {n} could point at a household."),
    _(
        "Such parts are joined with the next larger ones under 'others', and answers by part are "
        "left out where one has fewer."
    ),
    _("Kept out of landfill by jurisdiction, {}"),
    _("Kept out of landfill by district, {}"),
    _("Kept out of landfill by bin family, {}"),
    _("By jurisdiction, {}"),
    _("By district, {}"),
    _("By bin family, {}"),
    _("By language, {}"),
    _("By funding source, {}"),
    _("Jurisdiction"),
    _("District"),
    _("Bin family"),
    _("Language"),
    _("Funding source"),
    _("Standard error of asking"),
    _("{}/not in a district"),
    _("others, too small to show"),
    _("{}/others, too small to show"),
    _("not said"),
    _("no funding source on record"),
    _("English"),
    _("Spanish"),
    _("How long households go on"),
    _("Nobody has been asked yet whether they still compost."),
    _("From yes-or-no answers, each at its month; those who do not answer may stop sooner."),
    _("In the first {n} months a household composts for {n} of them on average."),
    _("Nobody's day of stopping is known, so there is no second curve from known days."),
    _("Ask those who stopped when it was, and take bins back in the records on the day they come."),
    _(
        "From known days (Kaplan-Meier): of {n} households that answered at least once, {n} "
        "stopped or gave the bin back."
    ),
    _(
        "{n} of them did not say when, and stand at the middle between the last day known to "
        "compost and the day of the answer."
    ),
    _("Fewer than {n} answers tell whether a household still composts; a curve of so few would say nothing."),
    _(
        "Days of stopping are known, but no curve is drawn from them: fewer than {n} households were followed until "
        "one of them stopped."
    ),
    _("{n} households had a bin at the end of the period."),
    _(
        "How many of them likely still composted is read from each curve at the months since their first handout, if "
        "the silent are like those who answered."
    ),
    _("A curve ends where fewer than {n} are behind it; beyond, it is taken to stay."),
    _(
        "How many of them likely still composted is read from each curve at the months since "
        "their first handout, if the silent are like those who answered; beyond its last step a "
        "curve is taken to stay."
    ),
    _("From answers: share still composting by months since the first handout, with its limits"),
    _(
        "From known days of stopping: share still composting by months since the first handout, "
        "with its limits"
    ),
    _("Share still composting by months since the first handout, with its limits"),
    _("Falling curve: {}"),
    _("month {n} {}"),
    _("Households likely still composting"),
    _("Curve"),
    _("Likely composting"),
    _("At its lower limits"),
    _("At its upper limits"),
    _("Mean months"),
    _("Within the first"),
    _("From answers"),
    _("From known days of stopping"),
    _("From answers: still composting, by months since the first handout"),
    _("From known days of stopping: still composting, by months since the first handout"),
    _("Still composting, by months since the first handout"),
    _("From month"),
    _("months since the first handout"),
    _("Exceptions and open points"),
    _("Where all answers are alike no spread can be measured, so that figure has no interval."),
    _("A figure without limits is known too badly for an interval to mean anything."),
    _("Yard trimmings are moved from the season asked about to the period by an assumed index."),
    _("Volumes are turned into mass by published densities, not by weigh-ins of this programme."),
    _("Volumes are turned into mass by weigh-ins of volunteers, who may report better than others."),
    _("Browns are not asked about, so their emissions in the bin are not counted."),
    _("What these households would have done without the programme is not measured."),
    _("With {} and {} the rate at which households stop is assumed, not estimated."),
    _("{n} stop"),
    _("{n} stops"),
    _(
        "Only {n} answers are in force, so the interval is too short: with 10 answers it holds "
        "the truth in about 85 of 100 cases, not 90."
    ),
    _("{} of the year waits in review and counts nowhere until a person has looked."),
    _("{} of the year wait in review and count nowhere until a person has looked."),
    _("Before relying on it"),
    _("What was found"),
    _("What to do"),
    _("Answered in writing"),
    _("A note: the range says it."),
    _("Not answered yet."),
    _("Nothing was found that would over-claim."),
    _("Handouts outside the rule or the ledger, year to date"),
    _("Handouts"),
    _("Without a reason yet"),
    _("A second bin for the household"),
    _("None."),
    _("Working"),
    _("Factors"),
    _("Strata"),
    _("What changed"),
    _("What changed since the filing this replaces"),
    _("One of the two filings has no estimate, so the change cannot be split into its causes."),
    _("Replaces the filing submitted on {}."),
    _(
        "Each part is averaged over all orders in which the causes could have come about, and the "
        "parts sum to the change to the last digit."
    ),
    _("From the filing before to this one"),
    _("Figure"),
    _("Before"),
    _("Now"),
    _("Masses of this table are in tonnes of 1000 kg."),
    _("under {}"),
    _("over {}"),
)
