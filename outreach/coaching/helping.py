"""Help requests: opening one, naming its household, and everything that is done about it until it is closed."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.coaching.models import Complaint, HelpRequest, HelpStep, ReportedSymptom, Visit
from outreach.households.models import Household, Participant
from outreach.places.models import Jurisdiction
from outreach.staff.models import StaffMember

State = HelpRequest.State
# Common practice, no source: someone whose pile smells waits days, not weeks.
ANSWERED_WITHIN = timedelta(days=5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """Who does it, and when; nobody for what the public page or the programme itself does."""

    by: StaffMember | None
    at: datetime

    @property
    def on(self) -> date:
        """The day, where the programme is."""
        return timezone.localdate(self.at)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What someone asks: of which household, or how to reach them, by which way, and in which words."""

    came_by: str
    kind: str = HelpRequest.Kind.PROBLEM
    objector: str = ""
    household: Household | None = None
    participant: Participant | None = None
    jurisdiction: Jurisdiction | None = None
    symptoms: tuple[str, ...] = ()
    own_words: str = ""
    language: str = ""
    written_name: str = ""
    written_address: str = ""
    email: str = ""
    phone: str = ""
    due_on: date | None = None
    made_from: str | None = None

    def fields(self) -> dict[str, object]:
        """What goes into the columns of those names."""
        names = (name for name in self.__slots__ if name not in ("symptoms", "household"))
        return {name: getattr(self, name) for name in names}


@dataclass(frozen=True, slots=True, kw_only=True)
class FromAuthority:
    """What an authority wrote about a case."""

    authority: str
    case_number: str
    received_on: date
    ordered_action: str = ""
    ordered_by_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What was seen and done on a visit."""

    visited_on: date
    visited_by: str
    seen: str
    bin_in_use: str = Visit.BinInUse.NOT_SEEN
    done: str = ""


@transaction.atomic
def open_request(*, asked: Asked, act: Act) -> HelpRequest:
    """Keep a help request. One that was made from the same thing before is answered again as it is."""
    known = HelpRequest.objects.filter(made_from=asked.made_from).first() if asked.made_from else None
    if known is not None:
        return known
    root = asked.household.counted_under if asked.household else None
    made = HelpRequest(
        **asked.fields(),
        household=asked.household,
        counted_under=root,
        opened_at=act.at,
        entered_by=act.by,
    )
    made.due_on = asked.due_on or act.on + ANSWERED_WITHIN
    made.jurisdiction = asked.jurisdiction or (root.jurisdiction if root else None)
    _refuse_a_stranger(made)
    made.full_clean()
    made.save()
    _name_symptoms(made, asked.symptoms)
    return made


@transaction.atomic
def open_complaint(*, asked: Asked, case: FromAuthority, act: Act) -> HelpRequest:
    """Keep a complaint that an authority passed on, with its case number and the day an answer is due."""
    if asked.due_on is None:
        raise ValidationError({"due_on": _("Give the day by which the authority wants an answer.")})
    made = open_request(asked=asked, act=act)
    complaint = Complaint(
        help_request=made,
        **{name: getattr(case, name) for name in case.__slots__},
    )
    complaint.full_clean()
    complaint.save()
    return made


@transaction.atomic
def name_household(*, request: HelpRequest, household: Household) -> HelpRequest:
    """Say whose help request it is, once someone has looked."""
    request = _locked(request)
    root = household.counted_under
    request.household, request.counted_under = household, root
    request.jurisdiction = request.jurisdiction or root.jurisdiction
    request.full_clean()
    request.save(update_fields=["household", "counted_under", "jurisdiction"])
    return request


@transaction.atomic
def record_step(*, request: HelpRequest, kind: str, on: date, words: str, act: Act) -> HelpStep:
    """Write down a call, advice or letter; advice moves an open request on."""
    request = _open(request)
    _refuse_the_future(on, act)
    step = HelpStep(
        help_request=request, kind=kind, done_on=on, words=words, entered_at=act.at, entered_by=act.by
    )
    step.full_clean()
    step.save()
    if kind in HelpStep.ADVICE:
        _move_on(request, State.ADVISED, on)
    return step


@transaction.atomic
def record_visit(*, request: HelpRequest, seen: Seen, act: Act) -> Visit:
    """Write down what was seen on a visit."""
    request = _open(request)
    _refuse_the_future(seen.visited_on, act)
    visit = Visit(
        help_request=request,
        visited_on=seen.visited_on,
        visited_by=seen.visited_by,
        bin_in_use=seen.bin_in_use,
        seen=seen.seen,
        done=seen.done,
        entered_at=act.at,
        entered_by=act.by,
    )
    visit.full_clean()
    visit.save()
    _move_on(request, State.VISITED, seen.visited_on)
    return visit


@transaction.atomic
def close(*, request: HelpRequest, outcome: str, note: str, act: Act) -> HelpRequest:
    """Close a request with what came of it; a complaint only once the authority has its answer."""
    request = _open(request)
    complaint = Complaint.objects.filter(help_request=request).first()
    if complaint is not None and complaint.reported_back_on is None:
        raise ValidationError(_("Report back to the authority first, then close the complaint."))
    request.outcome, request.outcome_note = outcome, note
    request.state, request.closed_at, request.closed_by = State.CLOSED, act.at, act.by
    request.full_clean()
    request.save(update_fields=["outcome", "outcome_note", "state", "closed_at", "closed_by"])
    return request


@transaction.atomic
def reopen(*, request: HelpRequest) -> HelpRequest:
    """Open a closed request again: what was done stays, the outcome is asked anew."""
    request = _locked(request)
    if not request.is_closed:
        raise ValidationError(_("This help request is still open."))
    visited = Visit.objects.filter(help_request=request).exists()
    advised = State.VISITED if visited else State.ADVISED
    request.state = State.OPEN if request.advised_on is None else advised
    request.outcome, request.outcome_note, request.outcome_asked_on = "", "", None
    request.closed_at = request.closed_by = None
    request.full_clean()
    request.save()
    return request


@transaction.atomic
def report_back(*, complaint: Complaint, outcome: str, on: date, act: Act) -> Complaint:
    """Write down what the authority was told, and when."""
    _open(complaint.help_request)
    _refuse_the_future(on, act)
    complaint.outcome, complaint.reported_back_on = outcome, on
    complaint.full_clean()
    complaint.save(update_fields=["outcome", "reported_back_on"])
    return complaint


def _locked(request: HelpRequest) -> HelpRequest:
    return HelpRequest.objects.select_for_update().get(pk=request.pk)


def _open(request: HelpRequest) -> HelpRequest:
    locked = _locked(request)
    if locked.is_closed:
        raise ValidationError(_("This help request is closed. Open it again first."))
    return locked


def _move_on(request: HelpRequest, state: str, on: date) -> None:
    request.state = State.VISITED if request.state == State.VISITED else state
    request.advised_on = max(on, request.advised_on or on)
    # Advised again: the outcome of the new advice is asked as well.
    if request.outcome_asked_on is not None and request.outcome_asked_on < request.advised_on:
        request.outcome_asked_on = None
    request.full_clean()
    request.save(update_fields=["state", "advised_on", "outcome_asked_on"])


def _name_symptoms(request: HelpRequest, symptoms: Iterable[str]) -> None:
    for symptom in dict.fromkeys(symptoms):
        named = ReportedSymptom(help_request=request, symptom=symptom)
        named.full_clean()
        named.save()


def _refuse_a_stranger(request: HelpRequest) -> None:
    person, root = request.participant, request.counted_under
    if person is None or root is None:
        return
    if person.household.counted_under.pk != root.pk:
        raise ValidationError({"participant": _("Choose a person of this household.")})


def _refuse_the_future(on: date, act: Act) -> None:
    if on > act.on:
        raise ValidationError(_("That day is still to come. Write it down once it is done."))
