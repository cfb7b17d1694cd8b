"""The worker: takes up queued jobs, one at a time, and survives being killed.

A job is claimed by compare-and-set on its number of attempts, so two workers never begin the same
attempt. Whoever holds a job renews its lease, from `step` and from a thread beside it; once the lease
has run out, another worker begins the job anew, and the first can write nothing more about it.
"""

import logging
import threading
from collections.abc import Callable
from contextlib import nullcontext
from datetime import datetime, timedelta
from typing import Any

from django.core.exceptions import ValidationError
from django.db import DatabaseError, close_old_connections, connection
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext as _

from outreach.staff import audit, jobs, rounds
from outreach.staff.models import Job

LEASE = timedelta(seconds=60)
MOST_ATTEMPTS = 3
LOOK_EVERY_SECONDS = 1.0

log = logging.getLogger(__name__)


class TakenOver(Exception):
    """Another worker has the job now; this one must stop without a trace."""


class Stopping(Exception):
    """The worker was asked to stop; the job goes back to the queue."""


class Holding:
    """One worker's hold on one attempt at a job; what the job sees as its `Progress`."""

    def __init__(self, job: Job, *, lease: timedelta = LEASE, stop: threading.Event | None = None) -> None:
        self.job, self.lease, self.stop = job, lease, stop or threading.Event()

    def step(self, done: int, *, of: int, words: str | Promise = "") -> None:
        if self.stop.is_set():
            raise Stopping
        self._renew(done_steps=done, all_steps=max(done, of), message=str(words))

    def beat(self) -> None:
        """Renew the lease and nothing else."""
        self._renew()

    def _renew(self, **fields: Any) -> None:
        until = timezone.now() + self.lease
        if not Job.objects.held(self.job).update(lease_until_at=until, **fields):
            raise TakenOver


def claim(*, at: datetime, lease: timedelta = LEASE) -> Job | None:
    """Take up the job that has waited longest, or None when there is none."""
    for job in Job.objects.waiting(at).order_by("id")[:20]:
        if job.attempts >= MOST_ATTEMPTS:
            _give_up(job, at=at)
            continue
        begun = Job.objects.waiting(at).filter(pk=job.pk, attempts=job.attempts)
        if begun.update(
            state=Job.State.RUNNING,
            attempts=job.attempts + 1,
            lease_until_at=at + lease,
            done_steps=0,
            all_steps=0,
            message="",
        ):
            job.refresh_from_db()
            return job
    return None


def _give_up(job: Job, *, at: datetime) -> None:
    words = _("The worker was stopped %(count)d times while doing this. Ask whoever runs the machine.")
    Job.objects.waiting(at).filter(pk=job.pk, attempts=job.attempts).update(
        state=Job.State.FAILED, finished_at=at, message=words % {"count": job.attempts}
    )


def perform(holding: Holding) -> None:
    """Do a claimed job to its end, and write down how it ended."""
    job = holding.job
    try:
        kind = jobs.kind_of(job.kind)
    except jobs.UnknownKind as unknown:
        return _finish(job, Job.State.FAILED, message=str(unknown))
    try:
        with audit.by(job.queued_by):
            result = kind.work(holding, **job.arguments)
    except TakenOver:
        log.warning("Job %s was taken over by another worker.", job.pk)
    except Stopping:
        Job.objects.held(job).update(
            state=Job.State.QUEUED, attempts=job.attempts - 1, lease_until_at=None, message=""
        )
    except ValidationError as refusal:
        _finish(job, Job.State.FAILED, message=_in_words(refusal))
    except kind.refusals as refusal:
        _finish(job, Job.State.FAILED, message=_in_words(refusal))
    except Exception:
        log.exception("Job %s (%s) failed.", job.pk, job.kind)
        words = _(
            "This failed through a fault of the software, not of yours. The server's log has the details."
        )
        _finish(job, Job.State.FAILED, message=words)
    else:
        _finish(job, Job.State.DONE, result=result)
    return None


def _in_words(refusal: Exception) -> str:
    if isinstance(refusal, ValidationError):
        return " ".join(refusal.messages)
    return str(refusal)


def _finish(job: Job, state: Job.State, **fields: Any) -> None:
    ended = Job.objects.held(job).update(
        state=state, finished_at=timezone.now(), lease_until_at=None, **fields
    )
    if not ended:
        log.warning("Job %s was taken over by another worker before it ended.", job.pk)


def run_queued(*, lease: timedelta = LEASE, has_heart: bool = False) -> int:
    """Do everything that waits, here and now; return how many jobs were begun.

    Without a heart no thread is started, as tests inside a transaction need; the lease then rests on
    the job's own steps.
    """
    begun = 0
    while job := claim(at=timezone.now(), lease=lease):
        holding = Holding(job, lease=lease)
        with Heart(holding) if has_heart else nullcontext():
            perform(holding)
        begun += 1
    return begun


def run_until(stop: threading.Event, *, lease: timedelta = LEASE) -> None:
    """Do jobs as they come, and what comes round, until `stop` is set. Outlives a database that is away."""
    while not stop.is_set():
        try:
            rounds.run_due(timezone.now())
            job = claim(at=timezone.now(), lease=lease)
            if job:
                with Heart(Holding(job, lease=lease, stop=stop)) as holding:
                    perform(holding)
                continue
        except DatabaseError:
            log.exception("The worker cannot reach the database; it tries again.")
        close_old_connections()
        stop.wait(LOOK_EVERY_SECONDS)


class Heart:
    """Renews the lease from a thread while the job computes; a context manager around the holding."""

    def __init__(self, holding: Holding) -> None:
        self.holding = holding
        self.ended = threading.Event()
        self.thread = threading.Thread(target=self._beat, name=f"heart of job {holding.job.pk}", daemon=True)

    def __enter__(self) -> Holding:
        self.thread.start()
        return self.holding

    def __exit__(self, *error: object) -> None:
        self.ended.set()
        self.thread.join()

    def _beat(self) -> None:
        try:
            while not self.ended.wait(self.holding.lease.total_seconds() / 4):
                try:
                    self.holding.beat()
                except TakenOver:
                    return
                except DatabaseError:
                    log.warning("Job %s could not renew its lease; it tries again.", self.holding.job.pk)
        finally:
            connection.close()


def run_inside(stop: threading.Event, run: Callable[..., None] = run_until) -> threading.Thread:
    """Start a worker as a thread of this process; set `stop`, then join, to end it."""

    def work() -> None:
        try:
            run(stop)
        finally:
            connection.close()

    worker = threading.Thread(target=work, name="worker", daemon=True)
    worker.start()
    return worker
