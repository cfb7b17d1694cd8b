"""Narrowing the lists of answers and of who was asked."""

import django_filters
from django import forms
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from outreach.followup.models import Answer, Invitation, InvitationQuerySet, Wave
from outreach.followup.phrases import AnswerQuerySet
from outreach.places.models import Jurisdiction


def _day(label: str | Promise, lookup: str) -> django_filters.DateFilter:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return django_filters.DateFilter("answered_on", lookup, label=label, widget=widget)


def _wave() -> django_filters.ModelChoiceFilter:
    return django_filters.ModelChoiceFilter(
        label=_("Wave"), queryset=Wave.objects.all(), empty_label=_("any")
    )


def _jurisdiction() -> django_filters.ModelChoiceFilter:
    return django_filters.ModelChoiceFilter(
        "counted_under__jurisdiction",
        label=_("Jurisdiction"),
        queryset=Jurisdiction.objects.all(),
        empty_label=_("any"),
    )


class AnswerFilter(django_filters.FilterSet):
    """By wave, place, what they said, how it stands, and period."""

    wave, jurisdiction = _wave(), _jurisdiction()
    composting = django_filters.ChoiceFilter(
        label=_("Still composting"), choices=Answer.Composting.choices, empty_label=_("any")
    )
    standing = django_filters.ChoiceFilter(
        label=_("How it stands"),
        method="narrow_standing",
        choices=[
            ("counting", _("counts")),
            ("review", _("in review")),
            ("corrected", _("corrected")),
            ("set_aside", _("set aside")),
        ],
        empty_label=_("not corrected"),
    )
    since = _day(_("From"), "gte")
    until = _day(_("To"), "lte")
    order = django_filters.OrderingFilter(fields=("answered_on",), widget=forms.HiddenInput, label="")

    class Meta:
        model = Answer
        fields: list[str] = []

    def narrow_standing(self, answers: AnswerQuerySet, name: str, value: str) -> AnswerQuerySet:
        """One way of standing; the list shows current answers where none is asked for."""
        phrases = {
            "counting": answers.counting,
            "review": answers.in_review,
            "corrected": answers.corrected,
            "set_aside": answers.set_aside,
        }
        return phrases[value]()


class InvitationFilter(django_filters.FilterSet):
    """By wave, place, and whether they have answered."""

    wave, jurisdiction = _wave(), _jurisdiction()
    standing = django_filters.ChoiceFilter(
        label=_("Answer"),
        method="narrow_standing",
        choices=[
            ("answered", _("has answered")),
            ("due", _("is due")),
            ("silent", _("was silent")),
        ],
        empty_label=_("any"),
    )

    class Meta:
        model = Invitation
        fields: list[str] = []

    def narrow_standing(self, asked: InvitationQuerySet, name: str, value: str) -> InvitationQuerySet:
        """One way of standing, today."""
        on = timezone.localdate()
        if value == "answered":
            return asked.with_answer()
        return asked.due(on) if value == "due" else asked.silent(on)
