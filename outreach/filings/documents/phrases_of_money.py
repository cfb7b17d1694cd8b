"""Phrases of the frozen report about money, as templates for the catalogue."""

from django.utils.translation import gettext_noop as _

PHRASES = (
    _("Money"),
    _(
        "A bin costs what the order it came from cost, first in, first out, less the co-pay that was taken; a"
        " bin that was ordered and not handed out yet is in what its funding source has spent, not in the "
        "cost of the period."
    ),
    _("Counted are bins that its households took, and costs and hours of workshops held there."),
    _(
        "What belongs to no workshop, and what funding sources have left, stands in the filing of all "
        "jurisdictions."
    ),
    _(
        "Nobody knows the price of one bin, so the cost of the period and of one is at least what stands "
        "here."
    ),
    _(
        "Nobody knows the price of {n} of the bins, so the cost of the period and of one is at least what "
        "stands here."
    ),
    _("Bins handed out, at the price of their order"),
    _("Co-pay taken for them"),
    _("What the period cost"),
    _("Cost"),
    _("By funding source and budget line"),
    _("Budget line"),
    _("Granted, or asked for"),
    _("In the period"),
    _("Since it began"),
    _("Left, or missing"),
    _("All of it"),
    _("Match, given in kind"),
    _("Costs that several sources pay: no part is counted twice"),
    _("Its part"),
    _("Of the whole"),
    _("Share"),
    _("The shares of a cost sum to 100 %."),
    _("Unpaid hours, given in kind"),
    _("Hours"),
    _("An hour is worth"),
    _("Worth"),
    _("Where the rate is published"),
    _("{}, looked up on {}"),
    _("A household that took a bin in the period"),
    _("A bin still in use on the last day, of all cost so far"),
    _("Cost of one"),
    _("Of what"),
    _("Range, from that of the tonnes"),
    _("Range, from that of the short tons"),
    _("Unpaid hours are not in these."),
    _("A bin serves for years; the tonnes are those of the period alone."),
    _("A bin serves for years; the short tons are those of the period alone."),
    _("One of the tonnes kept out of landfill in the period"),
    _("One of the short tons kept out of landfill in the period"),
    _("no limit"),
    _("Bins"),
    _("bins"),
    _("Venue"),
    _("Printing"),
    _("Staff"),
    _("Mileage"),
    _("Other"),
    _("At a workshop or stall"),
    _("Preparation"),
)
