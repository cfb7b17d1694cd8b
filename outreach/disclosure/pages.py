"""Records requests: the list of what went to whom, a new one, one of them with its files, and handing over."""

import uuid

from django.contrib import messages
from django.core.files.storage import default_storage
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from outreach.disclosure import making, withholding
from outreach.disclosure.forms import HandoverForm, RequestForm
from outreach.disclosure.models import Disclosure, Handover, RecordsRequest
from outreach.disclosure.row_kinds import BY_KEY
from outreach.disclosure.rows import asked_for, words_to_release
from outreach.staff.jobs import queue
from outreach.staff.refusals import status_of, succeeds
from outreach.staff.roles import OFFICE, TRAIL_READERS, StaffRequest, may

ROWS_A_PAGE = 50
get_or_post = require_http_methods(["GET", "HEAD", "POST"])


@require_GET
@may(*TRAIL_READERS)
def records_requests(request: StaffRequest) -> HttpResponse:
    """Requests, and below them what went to whom."""
    asked = RecordsRequest.objects.newest_first().with_what_went_out()
    context = {
        "page": Paginator(asked, ROWS_A_PAGE).get_page(request.GET.get("page")),
        "handovers": Handover.objects.newest_first()[:ROWS_A_PAGE],
        "may_write": request.user.role in OFFICE,
    }
    return render(request, "disclosure/list.html", context)


@get_or_post
@may(*OFFICE)
def records_request_add(request: StaffRequest) -> HttpResponse:
    at = timezone.now()
    form = RequestForm(request.POST or None, initial={"asked_on": timezone.localdate(at)})
    if form.is_valid() and succeeds(
        form, lambda: making.take_down(request=form.instance, by=request.user, at=at)
    ):
        messages.success(request, _("Written down. Look at the free text next, then make the files."))
        return redirect(form.instance)
    return render(request, "disclosure/add.html", {"form": form}, status=status_of(form))


@require_GET
@may(*TRAIL_READERS)
def records_request(request: StaffRequest, pk: int) -> HttpResponse:
    asked = get_object_or_404(RecordsRequest.objects.with_what_went_out(), pk=pk)
    kinds = [BY_KEY[key] for key in BY_KEY if key in asked.kinds]
    rules = withholding.in_force()
    context = {
        "asked": asked,
        "kinds": [
            {
                "key": kind.key,
                "title": kind.title,
                "rows": asked_for(asked, kind).count(),
                "with_words": words_to_release(asked, kind).count(),
                "released": asked.released.of_kind(kind.key).count(),
            }
            for kind in kinds
        ],
        "rules": [rule for rule in rules.by_key.values() if rule.is_withheld],
        "disclosures": [
            {"made": one, "is_there": default_storage.exists(one.stored_as)}
            for one in asked.disclosures.all()
        ],
        "may_write": request.user.role in OFFICE,
    }
    return render(request, "disclosure/request.html", context)


@require_POST
@may(*OFFICE)
def disclosure_make(request: StaffRequest, pk: int) -> HttpResponse:
    asked = get_object_or_404(RecordsRequest, pk=pk)
    wanted = {"request_id": asked.pk, "key": str(uuid.uuid4()), "member_id": request.user.pk}
    job = queue("disclosure.make", wanted, by=request.user, at=timezone.now())
    return redirect("job", job.pk)


@require_GET
@may(*OFFICE)
def disclosure_file(request: StaffRequest, pk: int) -> FileResponse:
    made = get_object_or_404(Disclosure.objects.select_related("records_request"), pk=pk)
    if not default_storage.exists(made.stored_as):
        raise Http404(_("These files lie here no longer. Make them anew on the page of the request."))
    name = f"records-request-{made.records_request_id}-{made.made_at:%Y-%m-%d}.zip"
    return FileResponse(default_storage.open(made.stored_as), as_attachment=True, filename=name)


@get_or_post
@may(*OFFICE)
def handover_add(request: StaffRequest, pk: int) -> HttpResponse:
    made = get_object_or_404(Disclosure.objects.select_related("records_request"), pk=pk)
    at = timezone.now()
    begins_with = {"to_whom": made.records_request.requester, "handed_over_on": timezone.localdate(at)}
    form = HandoverForm(request.POST or None, instance=Handover(disclosure=made), initial=begins_with)
    if form.is_valid() and succeeds(
        form, lambda: making.hand_over(handover=form.instance, by=request.user, at=at)
    ):
        messages.success(request, _("Noted for good: to whom, when, and the digest of what went."))
        return redirect(made.records_request)
    return render(request, "disclosure/hand_over.html", {"form": form, "made": made}, status=status_of(form))
