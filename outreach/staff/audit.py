"""The audit trail: who changed which record, when, what, and why.

Each app's `privacy.py` says `audit.keep("app.Model")` for records whose changes are kept, and
`audit.leave("app.Model", because="…")` for the rest. From then on `save()` and `delete()` leave an
entry; personal values are masked before they are written, and no entry names its record in words.

    with audit.because("The sheet named the wrong street."):
        household.save()

`bulk_create`, `bulk_update`, `QuerySet.update` and raw SQL send no signals and so leave no entry: use
them only where the rows carry their own provenance (paperwork taken in, the ledger, filings). An entry
is written with the change; act inside `transaction.atomic()` so that neither stands without the other.
"""

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any

from auditlog.registry import auditlog
from django.apps import apps
from django.contrib.contenttypes.models import ContentType
from django.db.models import Model, Q

from outreach.staff import privacy
from outreach.staff.audit_reading import ReadEntry, read
from outreach.staff.models import AuditEntry, StaffMember

MASK = "•••"

_reason: ContextVar[str] = ContextVar("audit_reason", default="")
_actor: ContextVar[Any] = ContextVar("audit_actor", default=None)
_left: dict[str, str] = {}


def keep(label: str, *, except_for: Collection[str] = ()) -> None:
    """Keep the changes of this model; its personal fields, as declared, are masked.

    Lists of other records that are open are kept by their names: which were added, which taken away.
    """
    model = apps.get_model(label)
    classes = privacy.classes_of(model)
    auditlog.unregister(model)
    auditlog.register(
        model,
        include_fields=[
            field.name
            for field in model._meta.concrete_fields
            if not field.generated and field.name not in except_for
        ],
        m2m_fields={field.name for field in model._meta.many_to_many if field.name in classes.open},
        mask_fields=sorted(classes.personal),
        mask_callable="outreach.staff.audit.masked",
    )


def leave(label: str, *, because: str) -> None:
    """Say that the changes of this model are not kept, and why not."""
    _left[apps.get_model(label)._meta.label] = because


def kept_models() -> list[type[Model]]:
    return list(auditlog.get_models())


def left_models() -> dict[str, str]:
    """Labels of the models that are left out on purpose, each with its reason."""
    return dict(_left)


def masked(value: str) -> str:
    """What stands in the trail in place of a personal value: that there was one, not what it was."""
    return "" if value in ("", "None") else MASK


@contextmanager
def because(reason: str) -> Iterator[None]:
    """Store this reason on every entry made inside."""
    token = _reason.set(reason.strip()[:500])
    try:
        yield
    finally:
        _reason.reset(token)


@contextmanager
def by(member: Any) -> Iterator[None]:
    """Name this member of staff as the one who acts; for jobs and commands. Pages do it by themselves."""
    token = _actor.set(member)
    try:
        yield
    finally:
        _actor.reset(token)


class ActorMiddleware:
    """Whoever is signed in acts for the length of the request."""

    def __init__(self, get_response: Any) -> None:
        self.get_response = get_response

    def __call__(self, request: Any) -> Any:
        with by(request.user):
            return self.get_response(request)


def complete(sender: type[AuditEntry], instance: AuditEntry, **signal: Any) -> None:
    """Fill in who and why, and name the record by kind and number only. Connected to `pre_save`."""
    actor = _actor.get()
    if instance.actor_id is None and isinstance(actor, StaffMember):
        instance.actor_id = actor.pk
    instance.reason = instance.reason or _reason.get()
    model = instance.content_type.model_class()
    kind = model._meta.verbose_name if model else instance.content_type.model
    instance.object_repr = f"{kind} {instance.object_pk}"


def entries_of(*records: Model) -> list[ReadEntry]:
    """The trail of these records, latest first, in words; shown by `staff/entries.html`."""
    about = Q()
    for record in records:
        kind = ContentType.objects.get_for_model(type(record))
        about |= Q(content_type=kind, object_pk=str(record.pk))
    if not about:
        return []
    return read(AuditEntry.objects.filter(about).select_related("actor", "content_type"))
