"""Phrases of the frozen report about weigh-ins and site checks, as templates for the catalogue."""

from django.utils.translation import gettext_noop as _

PHRASES = (
    _("Weigh-ins"),
    _("Food scraps: weighed by {n} homes instead of the published density."),
    _("Yard trimmings: weighed by {n} homes instead of the published density."),
    _(
        "Food scraps: so far {n} of the {n} homes that a ratio needs; volumes are turned into mass by the published "
        "density."
    ),
    _(
        "Yard trimmings: so far {n} of the {n} homes that a ratio needs; volumes are turned into mass by the published "
        "density."
    ),
    _("{n} of {n} homes that were drawn at random weighed, so that they stand for everybody."),
    _("Only {n} of {n} homes that were drawn at random weighed."),
    _("Not all of them were drawn at random."),
    _(
        "They count as volunteers, who may report better than others: so the draws let the ratio be up to a quarter "
        "lower."
    ),
    _("Weighed against reported, over the same weeks"),
    _("Material"),
    _("Homes"),
    _("Reported"),
    _("Weighed"),
    _("Ratio"),
    _("Published"),
    _("Food scraps"),
    _("Yard trimmings"),
    _("90 % from"),
    _("90 % to"),
    _("All seasons of the programme up to the cut-off, whatever the jurisdiction."),
    _("Site checks"),
    _("{n} households drawn at random were visited by someone who did not know what they had answered."),
    _("{n} household drawn at random was visited by someone who did not know what they had answered."),
    _("A bin seen not in use counts as used until that day."),
    _(
        "What was seen agrees with the last answer before the visit at {n} of {n} households, {} (90 % limits {} to "
        "{}, Wilson)."
    ),
    _("Households where nothing could be seen are not in it."),
    _("{n} more site check outside a draw; in none of the shares."),
    _("{n} more site checks outside a draw; in none of the shares."),
    _("What households had said, and what was seen"),
    _("They had said"),
    _("Seen in use"),
    _("Seen not in use"),
    _("Not seen"),
    _("All"),
    _("that they compost"),
    _("that they stopped"),
    _("nothing"),
    _("Not seen: the bin was not found, nobody was home, or the household declined."),
    _("Seen in use, of the households where it could be seen"),
    _("Households"),
    _("In use"),
)
