"""Submitting: the figures, their inputs and the lines behind them are frozen in one transaction."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import connection, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from diversion.figures import plain
from diversion.findings import Finding
from outreach.filings import (
    answering,
    composing,
    frozen_inputs,
    gather_sql,
    gathering,
    method,
    report,
    weighed,
)
from outreach.filings.gathering import Scope
from outreach.filings.models import Filing, FilingDraft
from outreach.filings.occasion import Occasion, day_in_words
from outreach.filings.periods import Period, Slice
from outreach.places.models import Jurisdiction
from outreach.staff.models import StaffMember


class RecordsMoved(Exception):
    """The records changed between computing and freezing."""

    def __init__(self) -> None:
        super().__init__(
            "The records changed while the figures were computed, so nothing was filed. Look again and submit."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """Who files, when, with answers up to which day; and what it replaces, with the reasons."""

    by: StaffMember | None
    at: datetime
    cut_off: date
    restates: Filing | None = None
    reasons: str = ""
    # To findings, by their code.
    answers: Mapping[str, answering.Written] = field(default_factory=dict)


@transaction.atomic
def begin(
    *,
    jurisdiction: Jurisdiction | None,
    period: Period,
    choices: dict[str, Any],
    by: StaffMember,
    at: datetime,
) -> FilingDraft:
    """Open the draft of a period, or go on with the one that is open, with these choices."""
    draft = FilingDraft.objects.filter(jurisdiction=jurisdiction, period=period.code).first()
    if draft is None:
        draft = FilingDraft(jurisdiction=jurisdiction, period=period.code, begun_at=at, begun_by=by)
    draft.settings = choices
    draft.full_clean()
    draft.save()
    return draft


def keep_answers(draft: FilingDraft, answers: dict[str, dict[str, str]]) -> None:
    """Keep with the draft what was written to findings, whether or not it can be filed yet."""
    draft.answers = answers
    draft.save(update_fields=["answers"])


def keep_findings(draft: FilingDraft, findings: Iterable[Finding]) -> None:
    """Keep how many of the findings that it was opened with are neither mended nor answered."""
    written = {code: answering.Written(**one) for code, one in draft.answers.items()}
    left = answering.unanswered(findings, written)
    FilingDraft.objects.filter(pk=draft.pk).update(findings_open=len(left))


def submit(*, period: Period, scope: Scope, choices: dict[str, Any], act: Act) -> Filing:
    """File a period: compute from the records, then freeze it.

    The figures are computed before the transaction, so that nobody waits for them; inside it the sums are
    gathered once more and must be the same.

    Raises
    ------
    RecordsMoved
    ValidationError
        If the period has not ended or is already filed, or a finding is neither mended nor answered.
    """
    _refuse_before_its_end(period, timezone.localdate(act.at))
    occasion = composing.compose(
        period, scope=scope, cut_off=act.cut_off, choices=choices, replaces=act.restates
    )
    answers = answering.settle(occasion.findings, act.answers, by=act.by, at=act.at)
    occasion = replace(occasion, answers=answers)
    filing = _frozen(occasion, scope=scope, act=act)
    with transaction.atomic():
        filing.full_clean()
        filing.save(force_insert=True)
        _require_same_weighing(occasion)
        for part, cells in occasion.cells_by_slice.items():
            _keep_lines(filing, part, scope=scope, cut_off=act.cut_off)
            if gathering.cells_from_lines(filing, part.quarter, part.span) != cells:
                raise RecordsMoved
        FilingDraft.objects.filter(jurisdiction=scope.jurisdiction, period=period.code).delete()
    return filing


def _require_same_weighing(occasion: Occasion) -> None:
    if weighed.gather_weighed(cut_off=occasion.cut_off) != occasion.inputs.weighed:
        raise RecordsMoved


def _refuse_before_its_end(period: Period, on: date) -> None:
    if period.last_day >= on:
        raise ValidationError(
            _("%(period)s has not ended yet. File it after %(day)s.")
            % {"period": period.name, "day": day_in_words(period.last_day)}
        )


def _frozen(occasion: Occasion, *, scope: Scope, act: Act) -> Filing:
    said = composing.report_of(occasion)
    inputs = {
        "period": frozen_inputs.to_dict(occasion.inputs.period),
        "year_to_date": frozen_inputs.to_dict(occasion.inputs.year_to_date),
        "following": plain(occasion.inputs.following),
        "weighed": plain(occasion.inputs.weighed),
        "site_checks": plain(occasion.inputs.site_checks),
    }
    factors = occasion.inputs.period.factors
    return Filing(
        jurisdiction=scope.jurisdiction,
        title=said.title,
        period=occasion.period.code,
        first_day_on=occasion.first_day,
        last_day_on=occasion.last_day,
        cut_off_on=occasion.cut_off,
        submitted_at=act.at,
        submitted_by=act.by,
        restates=act.restates,
        reasons=act.reasons,
        factor_set=factors.name,
        factor_set_sha256=factors.digest,
        software_version=composing.software_version(),
        settings=method.choices_of(occasion.inputs.period.settings, factor_set=factors.name),
        inputs=inputs,
        inputs_sha256=report.digest(inputs),
        report=said.to_dict(),
        report_sha256=report.digest(said.to_dict()),
        answers=[one.to_dict() for one in occasion.answers],
    )


def _keep_lines(filing: Filing, part: Slice, *, scope: Scope, cut_off: date) -> None:
    values = gathering.parameters(part, scope=scope, cut_off=cut_off)
    with connection.cursor() as cursor:
        cursor.execute(
            gather_sql.lines_insert(scoped=scope.is_one),
            {**values, "filing": filing.pk, "quarter": str(part.quarter), "span": part.span},
        )
