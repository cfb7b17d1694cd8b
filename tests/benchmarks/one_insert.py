"""The floor beside the Door: a view of the same site that reads the JSON it is sent and inserts one row."""

import json

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, JsonResponse
from django.urls import path
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt

from outreach.site.urls import urlpatterns as site
from outreach.workshops.models import SignUpTry


@csrf_exempt
@login_not_required
def one_insert(request: HttpRequest) -> JsonResponse:
    (event,) = json.loads(request.body)["events"]
    SignUpTry.objects.create(key=event["id"], made_at=timezone.now())
    return JsonResponse({"answers": {event["id"]: {"state": "stored", "words": ""}}})


urlpatterns = [*site, path("one-insert", one_insert, name="one_insert")]
