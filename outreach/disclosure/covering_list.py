"""The covering list of a disclosure: what was asked, what is enclosed, what was withheld and why, to whom, when."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any, BinaryIO

from django.utils import timezone
from django.utils.formats import date_format
from reportlab.lib.units import inch
from reportlab.platypus import Flowable

from outreach.disclosure.models import RecordsRequest
from outreach.disclosure.row_kinds import BY_KEY
from outreach.disclosure.withholding import Rules, heading_of
from outreach.post import paper
from outreach.post.paper_tables import ruled

Contents = Sequence[Mapping[str, Any]]


def write_covering_list(
    request: RecordsRequest, contents: Contents, rules: Rules, *, at: datetime, target: BinaryIO
) -> None:
    """Write it as a PDF on US letter paper."""
    story = list(_story(request, contents, rules, at))
    paper.build(target, story, title=f"Records request {request.reference}", language="en-US")


def _story(request: RecordsRequest, contents: Contents, rules: Rules, at: datetime) -> Iterator[Flowable]:
    yield paper.say(f"Records request {request.reference}", paper.TITLE)
    day = date_format(timezone.localtime(at), "j F Y")
    yield paper.say(f"To {request.requester}. Made {day}.")
    yield paper.say("What was asked for", paper.HEADING)
    yield paper.say(request.asked_for)
    yield paper.say(f"Asked {date_format(request.asked_on, 'j F Y')}. {_read_as(request)}")
    yield paper.say("What is enclosed", paper.HEADING)
    yield ruled(
        ["File", "What it is", "Rows", "SHA-256"],
        [[one["file"], one["title"], f"{one['rows']:,}", _broken(one["sha256"])] for one in contents],
        widths=[1.8 * inch, 1.7 * inch, 0.7 * inch, 2.8 * inch],
    )
    yield paper.say("What was withheld, and why", paper.HEADING)
    yield from _withheld(contents, rules)
    yield paper.say("How to read the files", paper.HEADING)
    yield from paper.items(NOTES, paper.ITEM)


NOTES = (
    "Each file is a table in CSV, in UTF-8, with a row of headings. Any spreadsheet opens it.",
    "A field that was withheld is blacked out; the column beside it gives the reason.",
    "A household is a random number, made for this disclosure alone: the same number in two files is the same "
    "household. Nobody can turn it back into an address.",
    "Members of staff are given by their role.",
    "A cell that begins with an apostrophe is text that a spreadsheet would otherwise take for a formula.",
)


def _read_as(request: RecordsRequest) -> str:
    titles = ", ".join(str(BY_KEY[kind].title).lower() for kind in request.kinds)
    first, last = (date_format(day, "j F Y") for day in (request.first_day_on, request.last_day_on))
    return f"Read as: {titles}, dated {first} to {last}."


def _withheld(contents: Contents, rules: Rules) -> Iterator[Flowable]:
    lines = []
    for file in contents:
        for one in file["withheld"]:
            rule = rules.on(BY_KEY[file["kind"]], one["column"])
            reason = rule.in_words if rule else ""
            lines.append([file["title"], heading_of(one["column"]), f"{one['values']:,}", reason])
    if not lines:
        yield paper.say("Nothing was withheld.")
        return
    yield ruled(
        ["File", "Field", "Values", "Reason"],
        lines,
        widths=[1.3 * inch, 1.7 * inch, 0.7 * inch, 3.3 * inch],
    )


def _broken(digest: str) -> str:
    """In groups, so that a narrow column can break it."""
    return " ".join(digest[start : start + 16] for start in range(0, len(digest), 16))
