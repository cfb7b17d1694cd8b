"""What the pages for residents take from the tables: cautions, and the heading over a form sent back."""

from typing import Any

from django import template
from django.forms import BaseForm
from django.utils.translation import gettext as _

from outreach.coaching.cautions import CAUTIONS

register = template.Library()


@register.simple_tag
def every_caution() -> list[Any]:
    """All cautions but that of herbicides, which the lists of what stays out hold."""
    return [words for key, words in CAUTIONS.items() if key != "herbicide"]


@register.simple_tag
def problem_heading(form: BaseForm) -> str:
    """'Something is missing' only where nothing else is wrong."""
    codes = {error.code for errors in form.errors.as_data().values() for error in errors}
    return _("Something is missing") if codes <= {"required"} else _("Please look at this again")
