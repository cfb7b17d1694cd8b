"""Findings answered in writing: what a filing may not leave open, and what somebody wrote to it.

A finding about the records or about what is claimed is mended, or answered in writing before anything is
filed. What follows from the number of answers is a note: nobody can clear it, and the range says it already.
"""

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from diversion.findings import Finding
from outreach.staff.models import StaffMember

NOTES = frozenset({"few-answered", "few-answers", "interval-wider-than-estimate"})
SHORTEST, LONGEST = 10, 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What somebody wrote to one finding; `headline` is the finding as it stood then."""

    code: str
    headline: str
    text: str
    by: str
    at: str

    def to_dict(self) -> dict[str, Any]:
        return asdict(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A text to one finding, and the sentence it was written to; '' is whatever the finding says now."""

    text: str
    headline: str = ""


class Unanswered(ValidationError):
    """Findings stand that nobody mended or answered."""

    def __init__(self, findings: Iterable[Finding]) -> None:
        self.findings = tuple(findings)
        listed = " ".join(f"({one.code}) {one.headline}" for one in self.findings)
        super().__init__(
            _(
                "Not filed: mend what was found, or answer it in writing, in at least %(shortest)s letters: %(listed)s"
            )
            % {"shortest": SHORTEST, "listed": listed}
        )


def demanding(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Those that must be mended or answered before the filing is submitted."""
    return tuple(one for one in findings if one.code not in NOTES)


def unanswered(findings: Iterable[Finding], written: Mapping[str, Written]) -> list[Finding]:
    """Those that must be answered and are not, or not in the words in which they stand now."""
    return [one for one in demanding(findings) if len(_text_for(one, written.get(one.code))) < SHORTEST]


def settle(
    findings: Iterable[Finding], written: Mapping[str, Written], *, by: StaffMember | None, at: datetime
) -> tuple[Answered, ...]:
    """The answers to findings as a filing keeps them; what was written to others falls away.

    An answer holds for the sentence it was written to: where two exceptions have become nine, it is asked again.

    Raises
    ------
    Unanswered
        Naming every finding that still needs an answer.
    """
    asked = demanding(findings)
    given = {one.code: _text_for(one, written.get(one.code)) for one in asked}
    if missing := unanswered(asked, written):
        raise Unanswered(missing)
    return tuple(
        Answered(
            code=one.code,
            headline=one.headline,
            text=given[one.code],
            by=str(by) if by else _("the command line"),
            at=at.isoformat(timespec="seconds"),
        )
        for one in asked
    )


def _text_for(finding: Finding, written: Written | None) -> str:
    if written is None or written.headline not in ("", finding.headline):
        return ""
    return written.text.strip()[:LONGEST]
