"""The kinds of messages that residents get; the apps that write them list theirs in `AppConfig.ready()`:

    kinds.register(
        Kind(
            key="workshops.confirmation",
            title=_("Signed up for a workshop"),
            sample={"name": "Ada Holm", "link": "https://compost.example.org/…"},
            texts={
                "en": Text("You signed up", "Hello $name,\\n\\nchange it here: $link"),
                "es": Text("Su inscripción", "Hola, $name:\\n\\nAquí puede cambiarla: $link"),
            },
        )
    )

A text is a `string.Template`: it names values, it computes nothing. Its names are those of `sample`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from string import Template
from types import MappingProxyType

from django.utils.functional import Promise

from outreach.post.models import Message

__all__ = [
    "Kind",
    "Message",
    "Text",
    "TextCannotBeUsed",
    "UnknownKind",
    "all_kinds",
    "is_reminder",
    "kind_of",
    "register",
    "reminder_keys",
    "title_of",
    "when_told_of",
]

FALLBACK_LANGUAGE = "en"


@dataclass(frozen=True, slots=True)
class Text:
    """Subject and body of a message in one language, with $names where values go."""

    subject: str
    body: str

    @property
    def is_well_formed(self) -> bool:
        """Whether each $ begins a name, or is doubled where a dollar sign is meant."""
        return Template(self.subject).is_valid() and Template(self.body).is_valid()

    @property
    def names(self) -> set[str]:
        """The names of values that the text uses."""
        return {*Template(self.subject).get_identifiers(), *Template(self.body).get_identifiers()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of message: what it may say, in which languages, and what follows once it was told."""

    key: str
    title: str | Promise
    sample: Mapping[str, str]
    texts: Mapping[str, Text]
    needed: frozenset[str] | None = None  # names that every wording must have; None: the links it came with
    is_reminder: bool = False  # may be unsubscribed from; others are about something the person asked for
    when_told: Callable[[Message, datetime], None] | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "sample", MappingProxyType(dict(self.sample)))
        object.__setattr__(self, "texts", MappingProxyType(dict(self.texts)))
        for language, text in self.texts.items():
            if not text.is_well_formed or not text.names <= set(self.sample):
                raise TextCannotBeUsed(key=self.key, language=language)
        if FALLBACK_LANGUAGE not in self.texts:
            raise TextCannotBeUsed(key=self.key, language=FALLBACK_LANGUAGE)

    def language_for(self, wanted: str) -> str:
        """The language of the text for someone who reads `wanted`: 'es-MX' is 'es', unknown is English."""
        code = wanted.lower().partition("-")[0]
        return code if code in self.texts else FALLBACK_LANGUAGE

    def needed_in(self, language: str) -> frozenset[str]:
        """Names without which a wording would be of no use to whoever reads it."""
        if self.needed is not None:
            return self.needed
        names = self.texts[language].names
        return frozenset(name for name in names if name == "link" or name.endswith("_link"))


class TextCannotBeUsed(ValueError):
    """A kind came with a text that names what it has no value for, or without one in English."""

    def __init__(self, *, key: str, language: str) -> None:
        self.key, self.language = key, language
        super().__init__(
            f"{key}: the text in {language!r} is missing, is malformed, or uses a name that `sample` lacks."
        )


class UnknownKind(LookupError):
    """No app that is installed writes messages of this kind."""

    def __init__(self, key: str) -> None:
        self.key = key
        super().__init__(f"No kind of message {key!r} is known. Known: {', '.join(sorted(_kinds))}.")


_kinds: dict[str, Kind] = {}


def register(kind: Kind) -> None:
    """List a kind; registered again it replaces the earlier one."""
    _kinds[kind.key] = kind


def kind_of(key: str) -> Kind:
    """The kind of this key.

    Raises
    ------
    UnknownKind
        If no app has registered it.
    """
    if key not in _kinds:
        raise UnknownKind(key)
    return _kinds[key]


def all_kinds() -> list[Kind]:
    """All kinds, in the order of registration: lower apps first."""
    return list(_kinds.values())


def title_of(key: str) -> str:
    """The title of a kind; the key itself where nothing installed writes it any more."""
    return str(_kinds[key].title) if key in _kinds else key


def is_reminder(key: str) -> bool:
    """Whether a message of this kind may be unsubscribed from."""
    return key in _kinds and _kinds[key].is_reminder


def reminder_keys() -> list[str]:
    """Keys of all kinds that may be unsubscribed from."""
    return [kind.key for kind in _kinds.values() if kind.is_reminder]


def when_told_of(key: str) -> Callable[[Message, datetime], None] | None:
    """What a kind wants to hear once its message was told, if anything."""
    return _kinds[key].when_told if key in _kinds else None
