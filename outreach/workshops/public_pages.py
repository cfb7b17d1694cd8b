"""What residents read: coming workshops, one of them, and both as calendars. No sign-in, nothing is kept."""

from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_safe

from outreach.post import links
from outreach.post.links import LinkBroken
from outreach.post.residents_language import in_residents_language, public_page
from outreach.staff.roles import EVERYONE, StaffRequest, may
from outreach.workshops import calendars, sayings, staff_feeds, structured_data
from outreach.workshops.models import Workshop
from outreach.workshops.public_filter import PublicFilter
from outreach.workshops.staff_feeds import FeedEnded

# Free map data of many; the venue's address goes along only when someone follows the link.
MAP = "https://www.openstreetmap.org/search"


@login_not_required
@require_safe
@in_residents_language
def public_workshops(request: HttpRequest) -> HttpResponse:
    """Workshops to come, the next first, narrowed as asked."""
    coming = Workshop.objects.public().planned().coming(timezone.localdate()).with_names()
    narrowed = PublicFilter(request.GET or None, queryset=coming)
    context = {
        "filter": narrowed,
        "shown": [shown(request, one) for one in narrowed.qs],
        "keep": kept_query(request),
        "is_narrowed": any(request.GET.get(name) for name in narrowed.filters),
    }
    return public_page(request, "workshops/public/list.html", context)


@login_not_required
@require_safe
@in_residents_language
def public_workshop(request: HttpRequest, workshop_id: int) -> HttpResponse:
    """One workshop; also after it is over or called off, for links to it are about."""
    workshop = public_or_404(workshop_id)
    url = request.build_absolute_uri(reverse("public_workshop", args=[workshop.pk]))
    context = shown(request, workshop) | {
        "event": structured_data.as_element_text(structured_data.event_of(workshop, url)),
        "map_url": f"{MAP}?{urlencode({'query': sayings.address(workshop)})}",
        "bring": sayings.bring(workshop),
        "accessibility": sayings.accessibility(workshop),
    }
    return public_page(request, "workshops/public/workshop.html", context)


def public_or_404(workshop_id: int) -> Workshop:
    return get_object_or_404(Workshop.objects.public().with_names(), pk=workshop_id)


def shown(request: HttpRequest, workshop: Workshop) -> dict[str, Any]:
    """What list, page and form say of a workshop."""
    return {
        "workshop": workshop,
        "title": sayings.title(workshop),
        "day": sayings.day(workshop.held_on),
        "hours": sayings.hours(workshop),
        "spoken": sayings.language(workshop.language),
        "is_open": workshop.takes_sign_ups(timezone.now()),
        "closes": sayings.moment(workshop.last_sign_up_at) if workshop.last_sign_up_at else "",
        "moved_from": sayings.was_to_be(workshop),
        "keep": kept_query(request),
    }


def kept_query(request: HttpRequest) -> str:
    """The language that was chosen and the mark of the flyer go along from page to page."""
    kept = {name: request.GET[name] for name in ("language", "from") if request.GET.get(name)}
    return f"?{urlencode(kept)}" if kept else ""


@login_not_required
@require_safe
@in_residents_language
def public_calendar(request: HttpRequest) -> HttpResponse:
    """Every public workshop to come, narrowed as the list is; cancelled ones say so."""
    coming = Workshop.objects.public().from_day(timezone.localdate()).with_names()
    return _calendar(calendars.public_calendar(PublicFilter(request.GET, queryset=coming).qs, timezone.now()))


@login_not_required
@require_safe
@in_residents_language
def workshop_calendar(request: HttpRequest, workshop_id: int) -> HttpResponse:
    return _calendar(calendars.public_calendar([public_or_404(workshop_id)], timezone.now()))


@require_safe
@may(*EVERYONE)
def staff_calendar_address(request: StaffRequest) -> HttpResponse:
    """The secret address of one's own calendar with counts."""
    address = links.public_url(reverse("staff_calendar", args=[staff_feeds.token_of(request.user)]))
    return render(request, "workshops/staff_calendar.html", {"address": address})


@login_not_required
@require_safe
def staff_calendar(request: HttpRequest, token: str) -> HttpResponse:
    """For a program that cannot sign in: the address is the secret, and ends with the person's access."""
    try:
        staff_feeds.member_of(token, on=timezone.localdate())
    except (LinkBroken, FeedEnded) as broken:
        raise Http404(str(broken)) from broken
    since = timezone.localdate() - staff_feeds.LOOKS_BACK
    workshops = Workshop.objects.from_day(since).with_people()
    answer = _calendar(calendars.staff_calendar(workshops, timezone.now()))
    answer["Cache-Control"] = "private, no-store"
    answer["X-Robots-Tag"] = "noindex"
    return answer


def _calendar(data: bytes) -> HttpResponse:
    return HttpResponse(data, content_type=calendars.CONTENT_TYPE)
