"""An event in words, for the office that has to rule on it."""

from collections.abc import Callable
from typing import Any

from django.utils.translation import gettext as _

from outreach.bins.models import BinModel
from outreach.door.models import DoorEvent
from outreach.households.models import Participant


def in_words(event: DoorEvent) -> str:
    """What it says happened; where it cannot be read, as it was sent."""
    say = SAYINGS.get(event.kind)
    try:
        return say(event.body) if say else _as_sent(event)
    except (LookupError, TypeError, ValueError):
        return _as_sent(event)


def _as_sent(event: DoorEvent) -> str:
    return f"{event.kind or '?'}: {event.body}"[:300]


def _who(body: dict[str, Any]) -> str:
    number = body.get("participant")
    person = Participant.objects.filter(pk=number).first() if isinstance(number, int) else None
    if person is not None:
        return person.full_name
    walked_in = (
        DoorEvent.objects.filter(kind="walked_in", person=body["person"]).first()
        if body.get("person")
        else None
    )
    return str(walked_in.body.get("name", "")) if walked_in else str(_("somebody who is not known"))


def _walked_in(body: dict[str, Any]) -> str:
    parts = ("name", "street", "unit", "city", "zip")
    return _("Walked in: %(said)s") % {"said": ", ".join(str(body[name]) for name in parts if body.get(name))}


def _bin_given(body: dict[str, Any]) -> str:
    words = _("%(who)s took home a bin: %(model)s")
    model = BinModel.objects.filter(pk=int(body["model"])).first()
    return words % {"who": _who(body), "model": model or _("a model that is not known")}


def _undone(body: dict[str, Any]) -> str:
    undone = DoorEvent.objects.filter(pk=body["event"]).first()
    what = in_words(undone) if undone and undone.kind != "undone" else _("something that has not arrived")
    return _("Undone: %(what)s") % {"what": what}


SAYINGS: dict[str, Callable[[dict[str, Any]], str]] = {
    "arrived": lambda body: (
        _("%(who)s came, a party of %(n)s") % {"who": _who(body), "n": body.get("party", 1)}
    ),
    "walked_in": _walked_in,
    "waiver_accepted": lambda body: (
        _("%(who)s accepted the waiver as “%(name)s”") % {"who": _who(body), "name": body["typed_name"]}
    ),
    "bin_given": _bin_given,
    "headcount": lambda body: _("%(people)s people on no list were counted") % {"people": body["people"]},
    "undone": _undone,
}
