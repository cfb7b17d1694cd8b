"""What the pack holds, one after the other: a name and the bytes of each file."""

import io
import json
from collections.abc import Iterator
from importlib import resources
from typing import NamedTuple

from django.core.files.storage import default_storage

from outreach.bins.models import Handout
from outreach.filings import gather_sql, verifying
from outreach.filings.documents.files import WRITERS, file_name, live_file_name
from outreach.filings.documents.live.book import write_live_workbook
from outreach.filings.documents.live.frozen import Frozen
from outreach.filings.frozen_inputs import FactorsChanged
from outreach.filings.models import Filing
from outreach.filings.pack import one_household
from outreach.filings.pack.tables import as_csv
from outreach.filings.report import Report
from outreach.filings.weighed import weighed_from
from outreach.intake.models import PaperworkFile
from outreach.workshops.models import WaiverText

LINES_AT_ONCE = 2_000


class Member(NamedTuple):
    """One file of the pack, and what it is for."""

    name: str
    content: bytes
    about: str


def members(filing: Filing) -> Iterator[Member]:
    """Every file of the pack but its list of contents."""
    yield from _documents(filing)
    yield _verification(filing)
    if filing.is_recomputed_in_a_workbook:
        text = one_household.explained(Frozen(filing))
        if text:
            yield Member(
                "one-household.txt", text.encode(), "one answer followed to the headline, step by step"
            )
    yield _lines(filing)
    yield from _weighed(filing)
    yield _factor_set(filing)
    yield _exceptions(filing)
    yield _waivers()
    yield from _paperwork(filing)


def _documents(filing: Filing) -> Iterator[Member]:
    report = Report.from_dict(filing.report)
    about = {"pdf": "the filing as it is printed", "xlsx": "its tables as a workbook"}
    for ending, write in WRITERS.items():
        target = io.BytesIO()
        write(report, target)
        yield Member(file_name(filing, ending), target.getvalue(), about[ending])
    if filing.is_recomputed_in_a_workbook:
        target = io.BytesIO()
        write_live_workbook(filing, target)
        yield Member(live_file_name(filing), target.getvalue(), "formulas from every answer to the headline")
    figures = json.dumps(filing.report, indent=1, ensure_ascii=False).encode()
    yield Member(file_name(filing, "json"), figures, "every figure unrounded, as frozen")
    inputs = json.dumps(filing.inputs, indent=1, ensure_ascii=False).encode()
    yield Member("inputs.json", inputs, "the sums of the records that it was computed from, as frozen")


def _verification(filing: Filing) -> Member:
    about = "whether computing it again gave the same"
    try:
        found = verifying.verify(filing)
    except FactorsChanged as changed:
        return Member("verification.txt", f"{changed}\n".encode(), about)
    lines = [f"{one.where}: filed {one.filed}, found {one.found}" for one in found]
    if not lines:
        lines = ["Equal: computed again from its lines and inputs, the filing gives the same figures."]
    return Member("verification.txt", ("\n".join(lines) + "\n").encode(), about)


def _lines(filing: Filing) -> Member:
    heading = [
        "quarter",
        "days_counted",
        "number",
        "days",
        "unasked",
        "food",
        "yard",
        "browns",
        *gather_sql.KEY_COLUMNS,
    ]
    lines = filing.lines.order_by("quarter", "span", "number").iterator(chunk_size=LINES_AT_ONCE)
    rows = (
        [
            line.quarter,
            line.span,
            line.number,
            line.days,
            line.unasked,
            line.food,
            line.yard,
            line.browns,
            *line.cell.split("|"),
        ]
        for line in lines
    )
    about = "one row a household under a random number: days, decilitres or decagrams a week, and its stratum"
    return Member("lines.csv", as_csv(heading, rows), about)


def _weighed(filing: Filing) -> Iterator[Member]:
    """The homes behind a ratio of weigh-ins, by their sums alone; no file where nobody weighed."""
    rows = [
        [one.material, home.reported_ml, home.weighed_g, one.homes_drawn]
        for one in weighed_from(filing.inputs.get("weighed"))
        for home in one.homes
    ]
    if rows:
        heading = ["material", "reported, mL", "weighed, g", "homes drawn, if all were drawn at random"]
        yield Member(
            "weigh-ins.csv", as_csv(heading, rows), "a row a home that weighed what it also reported"
        )


def _factor_set(filing: Filing) -> Member:
    table = resources.files("diversion.factors").joinpath(f"{filing.factor_set}.toml").read_bytes()
    about = f"the factor set with its sources; its digest in the filing is {filing.factor_set_sha256}"
    return Member(f"factors-{filing.factor_set}.toml", table.replace(b"\r\n", b"\n"), about)


def _exceptions(filing: Filing) -> Member:
    heading = ["handed out on", "bin", "kind", "what was outside the rule", "reason", "allowed by", "on"]
    return Member(
        "exceptions.csv",
        as_csv(heading, _exception_rows(filing)),
        "bins outside the rule or the ledger, with reasons",
    )


def _exception_rows(filing: Filing) -> Iterator[list[object]]:
    handouts = Handout.objects.standing().handed_between(filing.first_day_on, filing.last_day_on)
    if filing.jurisdiction is not None:
        handouts = handouts.in_area_of(filing.jurisdiction)
    for handout in handouts.with_who_allowed().order_by("handed_on", "pk"):
        for one in filter(None, (handout.exception, handout.stock_exception)):
            day = one.reasoned_at.date() if one.reasoned_at else None
            yield [
                handout.handed_on,
                str(handout.bin_model),
                one.get_kind_display(),
                one.about,
                one.reason,
                str(one.allowed_by or ""),
                day,
            ]


def _waivers() -> Member:
    heading = ["version", "language", "text", "in use since"]
    rows = [
        [one.version, one.language, one.body, one.entered_at.date()]
        for one in WaiverText.objects.order_by("version", "language")
    ]
    return Member("waivers.csv", as_csv(heading, rows), "every version of the waiver that people accepted")


def _paperwork(filing: Filing) -> Iterator[Member]:
    heading = [
        "file",
        "sha256",
        "sha256 of the copy without forgotten people",
        "bytes",
        "kind",
        "taken in on",
        "in this pack as",
    ]
    rows = []
    for file in PaperworkFile.objects.behind(filing.last_day_on, filing.cut_off_on, filing.jurisdiction):
        name = f"paperwork/{file.sha256[:12]}-{file.name}"
        kept = default_storage.exists(file.stored_as)
        taken_in = file.taken_in_at.date() if file.taken_in_at else None
        rows.append(
            [
                file.name,
                file.sha256,
                file.copy_sha256,
                file.byte_count,
                file.get_kind_display(),
                taken_in,
                name if kept else "not kept",
            ]
        )
        if kept:
            with default_storage.open(file.stored_as) as stored:
                yield Member(name, stored.read(), f"paperwork as it was taken in ({file.get_kind_display()})")
    yield Member("paperwork.csv", as_csv(heading, rows), "the paperwork behind the filing, with its digests")
