"""Phrases of the frozen report about strata and the steps of the method, as templates for the catalogue."""

from django.utils.translation import gettext_noop as _

PHRASES = (
    _("Households with a bin are grouped by jurisdiction, bin family and months since the first handout."),
    _("Groups with fewer than five answers are joined with their neighbours before anything is estimated."),
    _("Strata as estimated"),
    _("Households"),
    _("Answers"),
    _("Food into the bin"),
    _("Yard into the bin"),
    _("Went to trash before"),
    _("kg a week"),
    _("lb a week"),
    _("0-6 months"),
    _("6-12 months"),
    _("12-24 months"),
    _("24 months and more"),
    _(
        "Estimates are estimates: no carbon credits are implied, and no household's share can be read from "
        "them."
    ),
    _("Volumes are what households remember of a week or a month."),
    _("People tend to report what is approved of; only weighing can tell by how much."),
    _("A home pile is never certified free of pathogens."),
    _("Where to put a pile, how many, and what about rodents is for local codes to say."),
    _("From rows to the headline, step by step"),
    _("Step"),
    _("Title"),
    _("Value"),
    _("Source"),
    _("Checked"),
    _("{} (not applied)"),
    _("Exposure"),
    _(
        "days in the period with a bin in use, from 14 days after the handout until return or move, in weeks;"
        " two bins of a household count once"
    ),
    _("households with a bin, last quarter"),
    _("household-weeks"),
    _("weeks"),
    _("of these not yet asked"),
    _("Answer in force"),
    _(
        "the latest of a household with a bin, at most 18 months before and 45 days after the end of the "
        "quarter; 'stopped' is an answer of 0"
    ),
    _("answers in force, {}"),
    _("Ageing"),
    _("amount x exp(-rate x months since the answer); rate assumed"),
    _("amount x exp(-rate x months since the answer); rate from {n} answers with {n} stops"),
    _("1/month"),
    _("its standard error"),
    _("Yard season"),
    _("{}: yard trimmings from answers about the quarter itself"),
    _("{}: yard trimmings x index of the quarter / index of the quarter asked about"),
    _("{}: yard trimmings as reported"),
    _("answers about the quarter, {}"),
    _("index of quarter {n}"),
    _("Per household"),
    _(
        "gross = amount; landfill-bound = amount x share that went to trash before x share of trash "
        "landfilled; additional = landfill-bound of households new to composting; composted before = amount x"
        " share composted before."
    ),
    _("Shares not given are taken from those who gave them, weighed by amount"),
    _("share of trash landfilled, {}, yard trimmings banned"),
    _("share of trash landfilled, {}"),
    _(
        "jurisdiction x bin family x months since first handout; those with fewer than {n} answers are joined"
        " with their neighbours"
    ),
    _("groups, {}"),
    _("Total"),
    _(
        "household-weeks x weekly rate of the answers, summed over the groups; {n}% limits by Student's t on "
        "the log scale with half of the finite population correction"
    ),
    _("if the silent are alike"),
    _("gross"),
    _("food"),
    _("yard"),
    _("both"),
    _("landfill_bound"),
    _("additional"),
    _("composted_before"),
    _("Silence"),
    _(
        "the silent have 1/odds of the answerers' odds of still composting: what is estimated for them is "
        "divided by p + odds(1 - p)"
    ),
    _("odds of the headline"),
    _("ratio at odds {n}, {}"),
    _("no weigh-ins in this account: volumes x published density"),
    _("food: {}, instead of the density"),
    _("yard trimmings: {}, instead of the density"),
    _("{n} kg per reported litre ({}) from {n} volunteers"),
    _("{n} kg per reported litre ({}) from {n} randomly picked homes"),
    _("{n} kg per reported litre from {n} volunteers"),
    _("{n} kg per reported litre from {n} randomly picked homes"),
    _("weighed food"),
    _("weighed yard trimmings"),
    _("Methane"),
    _(
        "first-order decay from half a year after burial, by phases of gas collection; lifetime = ages 0 to "
        "100; a calendar year sums over past quarters."
    ),
    _("The two views are never added"),
    _("lifetime methane of food, {}"),
    _("lifetime methane of yard, {}"),
    _("Net warming"),
    _(
        "lifetime methane x its warming potential, less the emissions of composting what was not composted "
        "before; stored carbon is a memo, never added"
    ),
    _("composting of a tonne"),
    _("Draws over the factors"),
    _(
        "beside this account, not in its limits: these hold the error of the answers; the spread over answers"
        " and factors together is drawn apart"
    ),
    _("Several quarters"),
    _("sum of the quarters; their sampling errors are added, for the same answers serve several quarters"),
    _("quarter"),
    _("The range to say aloud"),
    _("from the lower limit at the largest odds shown to the upper limit at odds 1"),
    _("landfill-bound, headline"),
    _("from"),
    _("to"),
)
