"""Letting in the device of someone who signed in: the session says who they are, no pass is needed."""

import json

from django.http import HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from outreach.door import asking, letting_in
from outreach.staff.roles import WITH_CONTACT_DATA, StaffRequest, may
from outreach.workshops.models import Workshop


@require_POST
@may(*WITH_CONTACT_DATA)
def let_in(request: StaffRequest, workshop_id: int) -> HttpResponse:
    """A token for the device at hand; it outlives the session and ends that night."""
    workshop = get_object_or_404(Workshop, pk=workshop_id)
    now = timezone.now()
    try:
        said = json.loads(request.body)
    except ValueError:
        said = None
    if not isinstance(said, dict):
        return JsonResponse({"sentence": _("Send one JSON object.")}, status=400)
    said = {"name": request.user.full_name} | said
    try:
        asked = asking.asked(said)
        found = letting_in.by_staff(workshop=workshop, member=request.user, asked=asked, at=now)
    except letting_in.NotLetIn as refusal:
        return JsonResponse({"sentence": str(refusal)}, status=403)
    return JsonResponse(asking.answer(found, now), status=201)
