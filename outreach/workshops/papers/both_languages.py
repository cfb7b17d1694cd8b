"""Words in every language of the residents, for paper that all of them read."""

from collections.abc import Callable

from django.conf import settings
from django.utils import translation


def in_each(words: Callable[[], str]) -> list[str]:
    """What `words` says in each language, once where they are the same."""
    said = []
    for code, _name in settings.LANGUAGES:
        with translation.override(code):
            said.append(str(words()))
    return list(dict.fromkeys(said))


def beside(words: Callable[[], str], between: str = " / ") -> str:
    """'Name / Nombre'."""
    return between.join(in_each(words))
