"""Closing the programme, step by step: what is missing, doing it, taking it back, the open files, the certificate."""

from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from outreach.ending import closing, jobs, missing
from outreach.ending.closing import Act
from outreach.ending.models import EndStep
from outreach.staff.jobs import queue
from outreach.staff.refusals import status_of, succeeds
from outreach.staff.roles import ADMINISTRATORS, StaffRequest, may

Step = EndStep.Step
BY_A_WORKER = {Step.OPEN_FILES: "ending.open_files", Step.CONTACT_DATA: "ending.destroy"}
# What is typed in full before something that cannot be undone.
TO_TYPE = gettext_lazy("destroy")
ABOUT = {
    Step.LAST_FILING: gettext_lazy("The last quarter with anything in it is filed, and no draft is open."),
    Step.SIGN_UP: gettext_lazy(
        "Waves are asked no more, messages that wait are not sent, and old links lead to a kind page in English and "
        "Spanish. Advice on composting stays to be read."
    ),
    Step.BINS: gettext_lazy(
        "Bins left in stores leave the ledger, written off or handed over, with your words. Households keep theirs."
    ),
    Step.RETENTION: gettext_lazy("From today the months run after which contact data go by themselves."),
    Step.OPEN_FILES: gettext_lazy(
        "All records as tables with a reading guide that need no Loambook. Names and addresses lie in a folder of "
        "their own."
    ),
    Step.CONTACT_DATA: gettext_lazy(
        "Every name, address and way to reach someone is destroyed and the paperwork with it. Counts and filings "
        "stay. This cannot be undone."
    ),
}


class StepForm(forms.Form):
    """That someone means it; with words where the step wants them."""

    words = forms.CharField(
        label=gettext_lazy("What becomes of the bins that are left"),
        max_length=300,
        required=False,
        help_text=gettext_lazy("Such as: handed over to the city yard; or broken, written off."),
    )
    fetched = forms.BooleanField(label=gettext_lazy("I have fetched the open files, and they open"))
    typed = forms.CharField(label=gettext_lazy("Type the word destroy"), max_length=20)
    understood = forms.BooleanField(label=gettext_lazy("I mean to do this step"))

    def __init__(self, *args: Any, step: str, **options: Any) -> None:
        super().__init__(*args, **options)
        if step != Step.BINS:
            del self.fields["words"]
        if step != Step.CONTACT_DATA:
            del self.fields["typed"], self.fields["fetched"]

    def clean_typed(self) -> str:
        typed = str(self.cleaned_data["typed"]).strip().lower()
        if typed != str(TO_TYPE):
            raise ValidationError(_("Type the word %(word)s in full.") % {"word": TO_TYPE})
        return typed


@require_GET
@may(*ADMINISTRATORS)
def programme_end(request: StaffRequest) -> HttpResponse:
    """The steps in their order, with what is missing before each."""
    said, on = EndStep.objects.all().latest_of_each(), timezone.localdate()
    steps = []
    for step in Step:
        last = said.get(step)
        is_done = last is not None and last.is_done
        steps.append(
            {
                "step": step,
                "about": ABOUT[step],
                "last": last,
                "is_done": is_done,
                "missing": [] if is_done else missing.before(step, on=on),
            }
        )
    context = {
        "steps": steps,
        "is_destroyed": closing.is_done(Step.CONTACT_DATA),
        "files_are_there": default_storage.exists(jobs.STORED_AS),
        "rows": EndStep.objects.select_related("said_by"),
    }
    return render(request, "ending/programme.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@may(*ADMINISTRATORS)
def programme_end_step(request: StaffRequest, step: str) -> HttpResponse:
    """Confirm a step and do it, at once or by a worker."""
    wanted = _known(step)
    form = StepForm(request.POST or None, step=wanted)
    if form.is_valid():
        at = timezone.now()
        if wanted in BY_A_WORKER:
            asked = queue(BY_A_WORKER[wanted], {"member_id": request.user.pk}, by=request.user, at=at)
            return redirect("job", asked.pk)
        act = Act(by=request.user, at=at, words=form.cleaned_data.get("words", ""))
        if succeeds(form, lambda: closing.do(step=wanted, act=act)):
            messages.success(request, _("Done: %(step)s.") % {"step": wanted.label})
            return redirect("programme_end")
    context = {
        "form": form,
        "step": wanted,
        "about": ABOUT[wanted],
        "is_for_good": wanted == Step.CONTACT_DATA,
    }
    return render(request, "ending/step.html", context, status=status_of(form))


@require_POST
@may(*ADMINISTRATORS)
def programme_end_take_back(request: StaffRequest, step: str) -> HttpResponse:
    try:
        closing.take_back(step=_known(step), act=Act(by=request.user, at=timezone.now()))
        messages.success(request, _("Taken back. The programme goes on there."))
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
    return redirect("programme_end")


@require_GET
@may(*ADMINISTRATORS)
def open_files(request: StaffRequest) -> FileResponse:
    if not default_storage.exists(jobs.STORED_AS):
        raise Http404(_("The open files have not been written, or lie here no longer. Write them anew."))
    return FileResponse(
        default_storage.open(jobs.STORED_AS), as_attachment=True, filename="programme-open-files.zip"
    )


@require_GET
@may(*ADMINISTRATORS)
def certificate(request: StaffRequest) -> HttpResponse:
    """What was destroyed, to print and sign."""
    done = get_object_or_404(EndStep.objects.select_related("said_by"), step=Step.CONTACT_DATA)
    return render(request, "ending/certificate.html", {"done": done})


def _known(step: str) -> Step:
    try:
        return Step(step)
    except ValueError:
        raise Http404(_("There is no such step.")) from None
