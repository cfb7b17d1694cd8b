"""Set-up of how long contact data is kept: what that would drop today is shown before it is set."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from outreach.households import retention
from outreach.households.forgotten_models import ForgettingHold
from outreach.households.retention_models import RetentionRun, RetentionSchedule
from outreach.staff.roles import ADMINISTRATORS, OFFICE, StaffRequest, may

RUNS_SHOWN, SCHEDULES_SHOWN = 12, 12


class ScheduleForm(forms.ModelForm):
    """How many months."""

    class Meta:
        model = RetentionSchedule
        fields = ["months_after_use", "months_in_use"]


class UnderstoodForm(forms.Form):
    """That someone means it."""

    understood = forms.BooleanField(label=gettext_lazy("I know that what goes cannot be brought back"))


@require_GET
@may(*OFFICE)
def retention_page(request: StaffRequest) -> HttpResponse:
    """What holds now, and what it would drop today."""
    on, kept = timezone.localdate(), retention.schedule()
    context = {
        "kept": kept,
        "everybody_until": retention.everybody_until(kept),
        "found": retention.look(on, kept) if kept else None,
        "runs": RetentionRun.objects.newest_first()[:RUNS_SHOWN],
        "schedules": RetentionSchedule.objects.newest_first()[:SCHEDULES_SHOWN],
        "form": ScheduleForm(initial=_starts_from(kept)),
        "understood": UnderstoodForm(auto_id="due_%s"),
        "is_administrator": request.user.role in ADMINISTRATORS,
    }
    return render(request, "households/retention.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@may(*ADMINISTRATORS)
def retention_set(request: StaffRequest) -> HttpResponse:
    """What other months would drop today; set only from there."""
    form = ScheduleForm(request.POST or request.GET or None)
    if not form.is_valid():
        status = 422 if form.errors else 200
        return render(request, "households/retention_set.html", {"form": form}, status=status)
    understood = UnderstoodForm(request.POST or None)
    months_kept = form.cleaned_data
    if understood.is_valid():
        retention.set_schedule(**months_kept, by=request.user, at=timezone.now())
        messages.success(request, _("Set. What goes under it goes the next time that is done."))
        return redirect("retention")
    context = {"months": months_kept, "understood": understood, "found": _would_go(months_kept), "form": form}
    return render(request, "households/retention_look.html", context)


@require_POST
@may(*ADMINISTRATORS)
def retention_do(request: StaffRequest) -> HttpResponse:
    """Do now what `forget_due` does."""
    if UnderstoodForm(request.POST).is_valid():
        run = retention.forget_due(at=timezone.now(), by=request.user)
        messages.success(request, _("Forgotten: %(count)s households.") % {"count": run.forgotten})
    else:
        messages.error(request, _("Nothing was removed. Tick that you mean it."))
    return redirect("retention")


@require_GET
@may(*OFFICE)
def holds(request: StaffRequest) -> HttpResponse:
    """Every hold in force, those first that keep something whose time is over."""
    on = timezone.localdate()
    held = set(retention.look(on).held)
    rows = [(one, one.household.counted_under.pk in held) for one in ForgettingHold.objects.listed(on)]
    rows.sort(key=lambda row: (not row[1], row[0].until_on))
    return render(request, "households/holds.html", {"rows": rows, "past": sum(past for _one, past in rows)})


def _starts_from(kept: RetentionSchedule | None) -> dict[str, Any]:
    if kept is None:
        return {
            "months_after_use": retention.USUAL_MONTHS,
            "months_in_use": retention.USUAL_MONTHS_IN_USE,
        }
    return {"months_after_use": kept.months_after_use, "months_in_use": kept.months_in_use}


def _would_go(months_kept: dict[str, Any]) -> retention.Found:
    now = retention.schedule()
    thought_of = RetentionSchedule(
        **months_kept, begun_for_all_on=now.begun_for_all_on if now else None, set_at=timezone.now()
    )
    return retention.look(timezone.localdate(), thought_of)
