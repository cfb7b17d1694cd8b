"""The kinds of messages about help: their texts in both languages."""

from django.utils.translation import gettext_lazy as _

from outreach.coaching.advising import ADVICE
from outreach.coaching.outcomes import QUESTION
from outreach.post import kinds
from outreach.post.kinds import Kind, Text

ADVICE_TEXTS = {
    "en": Text(
        "About your compost bin",
        "Hello $name,\n\nyou asked us about your compost bin. Look at these in order; the first is the likeliest."
        "\n\n$advice\n\nIf it does not get better, ask us again: $link",
    ),
    "es": Text(
        "Sobre su compostera",
        "Hola, $name:\n\nNos preguntó por su compostera. Revise esto en orden; lo primero es lo más probable."
        "\n\n$advice\n\nSi no mejora, pregúntenos otra vez: $link",
    ),
}
QUESTION_TEXTS = {
    "en": Text(
        "Is your compost bin better?",
        "Hello $name,\n\ntwo weeks ago we gave you advice about your compost bin. Did it help? One tap tells us:"
        " $link\n\nThank you.",
    ),
    "es": Text(
        "¿Mejoró su compostera?",
        "Hola, $name:\n\nHace dos semanas le dimos consejos sobre su compostera. ¿Sirvieron? Con un toque nos lo"
        " dice: $link\n\nGracias.",
    ),
}


def register() -> None:
    """List them with the outbox."""
    advice = {
        "name": "Wren Halloway",
        "advice": "1. It is too wet\n- Mix in dry leaves.",
        "link": "https://compost.example.org/help/ask/",
    }
    title = _("Advice about a problem with the bin")
    kinds.register(Kind(key=ADVICE, title=title, sample=advice, texts=ADVICE_TEXTS))
    question = {"name": "Wren Halloway", "link": "https://compost.example.org/help/outcome/…"}
    title = _("Did our advice help?")
    kinds.register(Kind(key=QUESTION, title=title, is_reminder=True, sample=question, texts=QUESTION_TEXTS))
