"""A refused action shown on the form that asked for it."""

from collections.abc import Callable
from typing import Any, TypeVar

from django import forms
from django.core.exceptions import ValidationError

T = TypeVar("T")


def attempt(form: forms.BaseForm, act: Callable[[], T]) -> T | None:
    """Do it; where it is refused, put each sentence under its field, or above the form, and answer None."""
    try:
        return act()
    except ValidationError as problem:
        _show(form, problem)
        return None


def succeeds(form: forms.BaseForm, act: Callable[[], object]) -> bool:
    """Do it, and say whether it was done."""
    attempt(form, act)
    return not form.errors


def _show(form: forms.BaseForm, problem: ValidationError) -> None:
    if not hasattr(problem, "error_dict"):
        form.add_error(None, problem)
        return
    for name, texts in problem.message_dict.items():
        form.add_error(name if name in form.fields else None, texts)


def status_of(form: Any) -> int:
    """422 for a form that was sent and is not in order, else 200."""
    return 422 if form.errors else 200
