"""Work that runs outside a request, from a table of our own.

An app lists its kinds of work in its `jobs.py`, which is found by itself at start-up:

    from outreach.staff.jobs import CannotDo, Progress, job

    @job("intake.take_in", title=_("Taking in paperwork"), refusals=(UnreadableFile,))
    def take_in(progress: Progress, *, file_id: int) -> dict:
        for number, row in enumerate(rows, start=1):
            ...                                          # committed in small batches
            progress.step(number, of=len(rows), words=_("Reading rows"))
        return {"url": reverse("paperwork_file", args=[file_id]), "words": _("Taken in.")}

and a view or command asks for it and shows its page:

    asked = jobs.queue("intake.take_in", {"file_id": file.pk}, by=request.user, at=timezone.now())
    return redirect("job", asked.pk)

A worker may be killed at any moment, and another then starts the job from the beginning: a job must
come to the same end when run twice. It writes in small committed steps, or all in one transaction.
`progress.step` stops a worker whose job was taken over, so call it before what must not happen twice.
Tests and commands run what is queued here and now with `working.run_queued()`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Protocol

from django.utils.functional import Promise

from outreach.staff.models import Job, StaffMember


class CannotDo(Exception):
    """The job cannot be done; the words are shown to the person who asked for it."""


class Progress(Protocol):
    """What a running job tells about itself."""

    def step(self, done: int, *, of: int, words: str | Promise = "") -> None:
        """Say how far it is. Keeps the lease; stops this worker if another has taken the job over."""


Work = Callable[..., dict[str, Any] | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of work: its title on the page, what does it, and the errors that speak for themselves."""

    name: str
    title: str | Promise
    work: Work
    refusals: tuple[type[Exception], ...]


class UnknownKind(LookupError):
    """Nothing installed does this kind of work."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(f"No job of the kind {name!r} is known. Known: {', '.join(sorted(_kinds))}.")


_kinds: dict[str, Kind] = {}


def job(
    name: str, *, title: str | Promise, refusals: tuple[type[Exception], ...] = ()
) -> Callable[[Work], Work]:
    """Register what does a kind of work. Errors of the types `refusals` are shown in their own words."""

    def register(work: Work) -> Work:
        _kinds[name] = Kind(name=name, title=title, work=work, refusals=(CannotDo, *refusals))
        return work

    return register


def kind_of(name: str) -> Kind:
    if name not in _kinds:
        raise UnknownKind(name)
    return _kinds[name]


def queue(kind: str, arguments: dict[str, Any], *, by: StaffMember | None, at: datetime) -> Job:
    """Ask for a piece of work; a worker takes it up once the transaction, if any, is committed.

    `arguments` are what JSON can hold; they become the keyword arguments of the work.
    """
    return Job.objects.create(kind=kind_of(kind).name, arguments=arguments, queued_by=by, queued_at=at)
