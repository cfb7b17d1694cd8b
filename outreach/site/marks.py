"""Which shape and ink a state is shown with. The word always stands beside it."""

from typing import NamedTuple


class Shape(NamedTuple):
    """A symbol of static/look/marks.svg and the ink it is drawn in."""

    symbol: str
    ink: str


UNKNOWN = Shape("dash", "stone")

SHAPES = {
    # registrations
    "booked": Shape("ring", "slate"),
    "standby": Shape("hourglass", "ochre"),
    "cancelled": Shape("cross", "stone"),
    "attended": Shape("tick", "moss"),
    "missed": Shape("dash", "stone"),
    "walk_in": Shape("arrow-in", "moss"),
    # workshops, waves, jobs
    "planned": Shape("square", "slate"),
    "held": Shape("full-square", "moss"),
    "closed": Shape("seal", "stone"),
    "open": Shape("ring", "slate"),
    "queued": Shape("ring", "stone"),
    "due": Shape("hourglass", "ochre"),
    "waiting": Shape("hourglass", "ochre"),
    "running": Shape("half", "slate"),
    "leased": Shape("half", "slate"),
    "done": Shape("ticked-disc", "moss"),
    "failed": Shape("triangle", "clay"),
    # bins, orders, promises
    "ordered": Shape("square", "slate"),
    "part_received": Shape("half", "ochre"),
    "received": Shape("arrow-in", "moss"),
    "handed_out": Shape("arrow-out", "moss"),
    "returned": Shape("arrow-back", "stone"),
    "taken_back": Shape("arrow-back", "stone"),
    "counted": Shape("eye", "slate"),
    "voided": Shape("cross", "stone"),
    "removed": Shape("cross", "stone"),
    "replaced": Shape("two-sheets", "slate"),
    "written_off": Shape("cross", "clay"),
    "kept": Shape("diamond", "slate"),
    "fulfilled": Shape("full-diamond", "moss"),
    "lapsed": Shape("dash", "stone"),
    "in_use": Shape("bin", "moss"),
    "in_stock": Shape("full-square", "moss"),
    "running_short": Shape("triangle", "ochre"),
    "out_of_stock": Shape("cross", "clay"),
    # answers and households
    "composting": Shape("disc", "moss"),
    "yes": Shape("disc", "moss"),
    "on_and_off": Shape("half", "moss"),
    "stopped": Shape("square", "stone"),
    "not_yet_asked": Shape("hourglass", "stone"),
    "asked": Shape("word", "slate"),
    "answered": Shape("word", "moss"),
    "moved": Shape("arrow-out", "stone"),
    "merged": Shape("two-sheets", "stone"),
    "likely_duplicate": Shape("two-sheets", "ochre"),
    # help requests
    "advised": Shape("word", "moss"),
    "visited": Shape("eye", "moss"),
    "solved": Shape("ticked-disc", "moss"),
    "better": Shape("half", "moss"),
    "unchanged": Shape("dash", "ochre"),
    "not_known": Shape("ring", "stone"),
    "in_order": Shape("tick", "moss"),
    "mended": Shape("ticked-disc", "moss"),
    "handed_on": Shape("arrow-out", "stone"),
    # paperwork
    "read": Shape("eye", "slate"),
    "understood": Shape("eye", "slate"),
    "staged": Shape("sheet", "slate"),
    "taken_in": Shape("arrow-in", "moss"),
    "made": Shape("plus", "moss"),
    "already_known": Shape("ticked-disc", "stone"),
    "not_read": Shape("triangle", "clay"),
    "passed_over": Shape("dash", "stone"),
    "for_review": Shape("triangle", "ochre"),
    "settled": Shape("tick", "moss"),
    "set_aside": Shape("dash", "stone"),
    "refused": Shape("cross", "clay"),
    "exception": Shape("triangle", "clay"),
    "second_bin": Shape("two-sheets", "clay"),
    "outside_area": Shape("arrow-out", "clay"),
    "none_on_ledger": Shape("bin", "clay"),
    # filings and factors
    "draft": Shape("sheet", "slate"),
    "submitted": Shape("seal", "moss"),
    "superseded": Shape("two-sheets", "stone"),
    "restated": Shape("two-sheets", "ochre"),
    "seen": Shape("eye", "moss"),
    "memory": Shape("half", "ochre"),
    "assumed": Shape("diamond", "ochre"),
    "cautious": Shape("diamond", "slate"),
    # places offered to whoever stands by
    "accepted": Shape("tick", "moss"),
    "declined": Shape("cross", "stone"),
    "expired": Shape("hourglass", "stone"),
    # what became of an event of the Door
    "applied": Shape("ticked-disc", "moss"),
    "known": Shape("two-sheets", "stone"),
    "undone": Shape("arrow-back", "stone"),
    # site checks and weigh-ins
    "to_visit": Shape("hourglass", "ochre"),
    "not_in_use": Shape("dash", "clay"),
    "not_found": Shape("square", "stone"),
    "nobody_home": Shape("ring", "stone"),
    "agreed": Shape("tick", "moss"),
    "no_reply": Shape("dash", "stone"),
    "not_to_call": Shape("cross", "stone"),
    "may_call": Shape("tick", "moss"),
    # messages
    "sent": Shape("tick", "moss"),
    "said": Shape("word", "moss"),
    "printed": Shape("sheet", "moss"),
    "withdrawn": Shape("dash", "stone"),
    "given_up": Shape("triangle", "clay"),
    # people who sign in
    "active": Shape("person", "moss"),
    "deactivated": Shape("dash", "stone"),
}


def shape_of(state: str) -> Shape:
    """The shape of a state; a state that nobody drew yet gets a plain dash, never an error."""
    return SHAPES.get(str(state).lower().replace("-", "_").replace(" ", "_"), UNKNOWN)
