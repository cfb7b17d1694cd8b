"""Phrases of the frozen report about what would over-claim, as templates for the catalogue."""

from django.utils.translation import gettext_noop as _

PHRASES = (
    _("Not closed yet: {}."),
    _("Close them after checking headcount, handouts and what came back in the van."),
    _("{} moved in the period, but stock was counted nowhere."),
    _("Count every place once and enter the count; the ledger shows what is missing."),
    _("{} to the rule has no reason."),
    _("{} to the rule have no reason."),
    _("{n} exception"),
    _("{n} exceptions"),
    _("Give each its reason and who allowed it, or undo the handout."),
    _("{} waits in review and is not in the figure."),
    _("{} wait in review and are not in the figure."),
    _("Ask these households again, or decide each with a note."),
    _("Landfill-bound trimmings are claimed where trimmings are banned from trash: {}."),
    _("Mark the ban in the landfill settings, or explain why trimmings reach the landfill."),
    _("{} that composted before is counted as new."),
    _("{} that composted before are counted as new."),
    _("Correct 'composted before' on these households; their tonnes are not additional."),
    _(
        "Compare the records merged into them and their sign-ups, and correct 'composting before the bin': the tonnes "
        "of those who composted before are not additional."
    ),
    _("More than one funding source could claim {}: each paid for a bin of these homes."),
    _("{n} household-week"),
    _("{n} household-weeks"),
    _("They are counted once, under the source of the first bin."),
    _("Say so to the other funders, or mend the order that a bin came from."),
    # Of filings made before.
    _("{n} household-weeks are counted under more than one funding source."),
    _("Give each handout one funding source for its tonnes, or show the shared part as shared."),
    _("Factor set {} is not the latest, {}."),
    _("Use the latest for a new filing; keep the old one only to compare with an old filing."),
    _("{n} % of the households asked have an answer in force."),
    _("Call the households that planning lists first, or chase a random few of the silent."),
    _("The figure rests on {}; its interval is likely too short."),
    _("Gather {} before relying on it."),
    _("{n} more answer"),
    _("{n} more answers"),
    _("{n} kg a year per household still composting is above the highest weighed mean, {n} kg ({}, {n})."),
    _("Look for volumes in the wrong unit or month for week; weigh with some households."),
    _("The interval is wider than the estimate itself."),
    _("State the range and not the figure; planning says how many more answers would help."),
    _("A resident of elsewhere"),
    _("The ledger said none were left"),
    _("Two households turned out to be one"),
)
