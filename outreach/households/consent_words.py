"""The words to which households say that they may be asked, by version, so that it can be shown what they agreed to.

A version is never changed: other words are a new version, and a test holds each to its digest.
"""

from django.utils.translation import gettext_lazy as _

# By version and language.
FOLLOW_UP: dict[int, dict[str, str]] = {
    1: {
        "en": "You may ask us later how the composting goes",
        "es": "Pueden preguntarnos después cómo va la composta",
    },
}
CURRENT = max(FOLLOW_UP)
# Beside every box and button that a household ticks or presses; the catalogue has its Spanish.
LABEL = _("You may ask us later how the composting goes")
