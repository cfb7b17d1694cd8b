"""What a caller says, in each language residents speak; the questions of the form, in its order."""

from dataclasses import dataclass

from django.conf import settings
from django.utils import translation
from django.utils.translation import gettext as _


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """The lines of a call in one language."""

    code: str
    language: str
    lines: tuple[str, ...]


def in_each_language() -> list[Script]:
    """The script in every language of ours, each under its own name."""
    scripts = []
    for code, _name in settings.LANGUAGES:
        with translation.override(code):
            own_name = translation.get_language_info(code)["name_local"].capitalize()
            scripts.append(Script(code=code, language=own_name, lines=tuple(_lines())))
    return scripts


def _lines() -> list[str]:
    return [
        _(
            "Hello, this is the composting programme. You have a compost bin from us. May I ask you six questions?"
        ),
        _("Do you still compost: yes, on and off, or have you stopped? If you stopped: when, and why?"),
        _(
            "How much food scraps went into the bin in the past week? In what do you count, how many, how full?"
        ),
        _("How much yard trimmings went in in the past month? In what do you count, how many, how full?"),
        _("If they have not said before: where did all this go before you had the bin?"),
        _("Does anything not work well, and would you like help with it?"),
        _("Is there anything else you want to tell us? Thank you."),
        _("If they would rather not be called: thank them, say that nobody calls again, and press X."),
    ]
