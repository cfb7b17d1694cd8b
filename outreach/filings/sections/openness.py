"""What a reader must know: exceptions, notes, cautions, the method as applied, and every factor's source."""

from diversion.factors import FactorSet
from diversion.findings import Finding
from diversion.rounding import counted
from outreach.filings.answering import NOTES, Answered
from outreach.filings.masses import number
from outreach.filings.occasion import Occasion
from outreach.filings.report import Cell, Column, Number, Section, Table

CAUTIONS = (
    "Estimates are estimates: no carbon credits are implied, and no household's share can be read from them.",
    "Volumes are what households remember of a week or a month. People tend to report what is approved of; only "
    "weighing can tell by how much.",
    "A home pile is never certified free of pathogens. Where to put a pile, how many, and what about rodents is "
    "for local codes to say.",
)


def open_points(occasion: Occasion) -> Section:
    """Exceptions of the year, answers that wait in review, and the notes of the account."""
    waiting = occasion.counts_to_date.answers_in_review
    paragraphs = [note.sentence for note in occasion.accounts.period.notes]
    if waiting:
        paragraphs.append(
            f"{counted(waiting, 'answer')} of the year {'waits' if waiting == 1 else 'wait'} in review and "
            f"{'counts' if waiting == 1 else 'count'} nowhere until a person has looked."
        )
    return Section(
        key="open_points",
        heading="Exceptions and open points",
        paragraphs=tuple(paragraphs),
        tables=(
            _findings(occasion),
            Table(
                key="exceptions",
                caption="Handouts outside the rule or the ledger, year to date",
                columns=(
                    Column(heading="What"),
                    Column(heading="Handouts", is_number=True),
                    Column(heading="Without a reason yet", is_number=True),
                ),
                rows=tuple(
                    (kind.capitalize(), number(count), number(without))
                    for kind, count, without in occasion.counts_to_date.exceptions
                ),
                note="" if occasion.counts_to_date.exceptions else "None.",
            ),
        ),
    )


def _findings(occasion: Occasion) -> Table:
    """What would claim more than the records carry, what mends it, and what was written to it."""
    written = {one.code: one for one in occasion.answers}
    return Table(
        key="findings",
        caption="Before relying on it",
        columns=(
            Column(heading="What was found"),
            Column(heading="What to do"),
            Column(heading="Answered in writing"),
        ),
        rows=tuple(
            (one.headline, one.what_to_do, _answer(one, written.get(one.code))) for one in occasion.findings
        ),
        note="" if occasion.findings else "Nothing was found that would over-claim.",
    )


def _answer(finding: Finding, written: Answered | None) -> str:
    if written is None:
        return "A note: the range says it." if finding.code in NOTES else "Not answered yet."
    return f"{written.text} ({written.by}, {written.at[:10]})"


def method(occasion: Occasion) -> Section:
    """The steps as they were applied, with their figures."""
    heading, *rows = occasion.accounts.period.working.as_table()
    return Section(
        key="method",
        heading="Working",
        paragraphs=CAUTIONS,
        tables=(
            Table(
                key="working",
                caption="From rows to the headline, step by step",
                columns=tuple(
                    Column(heading=str(one).capitalize(), is_number=one == "value") for one in heading
                ),
                rows=tuple(tuple(_cell(value) for value in row) for row in rows),
            ),
        ),
    )


def _cell(value: str | int | float | None) -> Cell:
    if value is None:
        return ""
    return value if isinstance(value, str) else Number(value=value, printed=_factor_digits(value))


def factors(occasion: Occasion) -> Section:
    """Every number that was not counted here, with its source and how far it was checked."""
    return Section(
        key="factors",
        heading="Factors",
        paragraphs=(
            "Checked: 'seen' was read in the source itself, 'second-hand' in another's quotation of it, 'memory' "
            "was recalled and not looked up, 'assumed' is our own choice.",
        ),
        tables=(_factor_table(occasion.inputs.period.factors),),
    )


def _factor_table(factor_set: FactorSet) -> Table:
    heading, *rows = factor_set.as_table()
    return Table(
        key="factors",
        caption=f"Factor set {factor_set.name}",
        columns=tuple(
            Column(heading=str(one).capitalize(), is_number=one in {"value", "low", "high"})
            for one in heading
        ),
        rows=tuple(tuple(_cell(value) for value in row) for row in rows),
    )


def _factor_digits(value: float) -> str:
    return f"{value:,}" if isinstance(value, int) else f"{value:,.6g}"
