"""Narrowing the list of messages."""

import django_filters
from django.utils.translation import gettext_lazy as _

from outreach.post import kinds
from outreach.post.models import Message


def _kinds() -> list[tuple[str, str]]:
    return [(kind.key, str(kind.title)) for kind in kinds.all_kinds()]


class MessageFilter(django_filters.FilterSet):
    """By state, way to the reader, kind, and words of the name."""

    state = django_filters.ChoiceFilter(choices=Message.State.choices, label=_("State"), empty_label=_("any"))
    channel = django_filters.ChoiceFilter(
        choices=Message.Channel.choices, label=_("By"), empty_label=_("any")
    )
    kind = django_filters.ChoiceFilter(choices=_kinds, label=_("What"), empty_label=_("any"))
    recipient_name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name has"))

    class Meta:
        model = Message
        fields: list[str] = []
