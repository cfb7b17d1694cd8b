"""The wording of messages: what they came with, changed by the office, filled in with values."""

from collections.abc import Collection, Mapping
from datetime import datetime
from string import Template
from typing import NamedTuple

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.post import kinds
from outreach.post.kinds import Kind, Text
from outreach.post.models import TextVersion
from outreach.staff.models import StaffMember

AS_IT_CAME = 0
LONGEST_SUBJECT = 300


class Wording(NamedTuple):
    """A text and its version; 0 is the one that came with the software."""

    text: Text
    version: int


class Filled(NamedTuple):
    """Subject and body with every value in its place."""

    subject: str
    body: str


class ValuesMissing(LookupError):
    """Whoever writes a message of this kind gave no value for some of its names."""

    def __init__(self, *, key: str, missing: set[str]) -> None:
        self.key, self.missing = key, missing
        super().__init__(
            f"{key}: no value for {', '.join(sorted(missing))}. Every name of the kind's `sample` needs one, "
            "since the office may use any of them; an empty one will do."
        )


def current(kind: Kind, language: str) -> Wording:
    """The newest wording of a kind in one of its languages."""
    newest = TextVersion.objects.of(kind.key, language).newest_first().first()
    if newest is None:
        return Wording(kind.texts[language], AS_IT_CAME)
    return Wording(Text(newest.subject, newest.body), newest.version)


def version_of(kind: Kind, language: str, version: int) -> Wording | None:
    """An earlier wording, or the one that the kind came with."""
    if version == AS_IT_CAME:
        return Wording(kind.texts[language], AS_IT_CAME)
    found = TextVersion.objects.of(kind.key, language).counted(version)
    return Wording(Text(found.subject, found.body), version) if found else None


def filled(text: Text, values: Mapping[str, str]) -> Filled:
    """Put the values in. A subject is one line whatever a value holds; an empty value leaves no gap."""
    subject = " ".join(Template(text.subject).substitute(values).split())
    if len(subject) > LONGEST_SUBJECT:
        subject = subject[: LONGEST_SUBJECT - 1] + "…"
    return Filled(subject, _without_gaps(Template(text.body).substitute(values)))


def _without_gaps(body: str) -> str:
    """At most one blank line between paragraphs, none at either end."""
    kept: list[str] = []
    for line in (line.rstrip() for line in body.splitlines()):
        if line or (kept and kept[-1]):
            kept.append(line)
    return "\n".join(kept).strip("\n")


def refuse_missing(kind: Kind, values: Mapping[str, str]) -> None:
    """A value for each name of the kind, or `ValuesMissing`."""
    if missing := set(kind.sample) - set(values):
        raise ValuesMissing(key=kind.key, missing=missing)


def refuse_wrong_names(kind: Kind, language: str, text: Text) -> None:
    """Say which names nobody fills in, which link is lacking, and where a $ stands alone.

    Raises
    ------
    ValidationError
        With a sentence each for `subject` and `body`.
    """
    problems = {
        field: problem
        for field, words in (("subject", text.subject), ("body", text.body))
        if (problem := _wrong_names(kind, words))
    }
    missing = frozenset() if "body" in problems else kind.needed_in(language) - set(_names_in(text.body))
    if missing:
        problems["body"] = _(
            "The text must contain %(missing)s: without it nobody can do what the message is about."
        ) % {"missing": _as_names(missing)}
    if problems:
        raise ValidationError(problems)


def _wrong_names(kind: Kind, words: str) -> str:
    if not Template(words).is_valid():
        return _("A $ stands alone. It begins a name, such as $name; for the sign itself write it twice: $$.")
    unknown = set(_names_in(words)) - set(kind.sample)
    if not unknown:
        return ""
    return _("Nobody fills in %(unknown)s. This message knows %(known)s.") % {
        "unknown": _as_names(unknown),
        "known": _as_names(set(kind.sample)),
    }


def _names_in(words: str) -> list[str]:
    return Template(words).get_identifiers()


def _as_names(names: Collection[str]) -> str:
    return ", ".join(f"${name}" for name in sorted(names))


@transaction.atomic
def write(
    *, kind: str, language: str, text: Text, after: int, by: StaffMember, at: datetime
) -> TextVersion | None:
    """Keep a new wording, which messages use from now on; None where nothing differs.

    `after` is the version that the writer saw, so that nobody overwrites what they have not read.

    Raises
    ------
    ValidationError
        If a name is wrong, a link is lacking, or someone else wrote a version meanwhile.
    """
    known = kinds.kind_of(kind)
    refuse_wrong_names(known, language, text)
    if current(known, language) == Wording(text, after):
        return None
    version = TextVersion(
        kind=kind,
        language=language,
        version=after + 1,
        subject=text.subject,
        body=text.body,
        written_at=at,
        written_by=by,
    )
    version.full_clean()
    version.save()
    return version
