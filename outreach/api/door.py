"""The Door's addresses for devices: being let in, fetching the roster, delivering what happened, leaving."""

import hashlib
import json
from datetime import datetime
from typing import Any, cast

from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext as _
from rest_framework.exceptions import AuthenticationFailed, NotAuthenticated, PermissionDenied
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from outreach.api.door_devices import BringsAPass, DeviceToken, IsDevice
from outreach.api.door_requests import Malformed, json_of
from outreach.door import applying, asking, guessing, letting_in, live, receiving, roster
from outreach.door.models import Device
from outreach.workshops.trying import network_address_of

MOST_EVENTS = 1000


def _device(request: Request) -> Device:
    """Who asks at the Door's addresses is a device; `IsDevice` lets nobody else through."""
    return cast(Device, request.user)


class DoorView(APIView):
    """Answers in JSON; a refusal is one sentence."""

    authentication_classes: tuple[type, ...] = (DeviceToken,)
    permission_classes: tuple[type, ...] = (IsDevice,)

    def handle_exception(self, problem: Exception) -> Response:
        if isinstance(problem, Malformed):
            return Response({"sentence": str(problem)}, status=400)
        answer = super().handle_exception(problem)
        if isinstance(problem, (AuthenticationFailed, NotAuthenticated, PermissionDenied)):
            answer.data = {"sentence": str(problem.detail)}
        return answer


class LetIn(DoorView):
    """`POST devices`: a device brings a pass and gets a token."""

    authentication_classes = ()
    permission_classes = (BringsAPass,)

    def post(self, request: Request) -> Response:
        said, now = json_of(request), timezone.now()
        address = network_address_of(request._request)
        if guessing.is_too_often(address, now):
            return _refused(_("Too many wrong codes came from here. Wait an hour, or ask the coordinator."))
        try:
            code, workshop_id = asking.text(said, "pass"), asking.number(said, "workshop")
            let_in = letting_in.by_pass(code=code, asked=asking.asked(said), workshop_id=workshop_id, at=now)
        except letting_in.NotLetIn as refusal:
            guessing.note_wrong(address, now)
            return _refused(str(refusal))
        return Response(asking.answer(let_in, now), status=201)


class RosterView(DoorView):
    """`GET roster`: what the device needs to work without network; 410 once it has ended."""

    def get(self, request: Request) -> Response:
        device, now = _device(request), timezone.now()
        ended = device.why_ended(now)
        if ended:
            return Response({"sentence": ended}, status=410)
        applying.apply_left_over(workshop=device.workshop, at=now)
        told = roster.of(device)
        etag = f'"{hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()[:32]}"'
        receiving.note_contact(device=device, at=now)
        headers = {"ETag": etag, "Cache-Control": "private, no-cache"}
        if etag in request.headers.get("If-None-Match", ""):
            return Response(status=304, headers=headers)
        live_now = live.counts(device.workshop, now)
        return Response({"server_now": now.isoformat(), **told, "live": live_now}, headers=headers)


class Events(DoorView):
    """`POST events`: everything is stored, and each is named with what became of it."""

    def post(self, request: Request) -> Response:
        device, now = _device(request), timezone.now()
        answers = receiving.receive(device=device, delivery=_delivery(json_of(request)), at=now)
        counts = None if device.why_ended(now) else live.counts(device.workshop, now)
        return Response({"server_now": now.isoformat(), "answers": answers, "live": counts})


class Goodbye(DoorView):
    """`POST goodbye`: the device has nothing left and forgets its token."""

    def post(self, request: Request) -> Response:
        letting_in.leave(device=_device(request), at=timezone.now())
        return Response(status=204)


def _delivery(said: dict[str, Any]) -> receiving.Delivery:
    events = said.get("events")
    if not isinstance(events, list):
        raise Malformed(_("'events' must be a list."))
    if len(events) > MOST_EVENTS:
        raise Malformed(_("Send at most %(most)d events at once.") % {"most": MOST_EVENTS})
    unsent = asking.number(said, "unsent") or 0
    return receiving.Delivery(events=events, unsent=max(unsent, 0), sent_at=_instant(said.get("sent_at")))


def _instant(value: object) -> datetime | None:
    try:
        read = parse_datetime(value) if isinstance(value, str) else None
    except ValueError:
        return None
    return read if read and read.tzinfo else None


def _refused(sentence: str) -> Response:
    return Response({"sentence": sentence}, status=403)
