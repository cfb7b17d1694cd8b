"""Set-up's page of people: for administrators."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods

from outreach.staff import audit, people
from outreach.staff.models import StaffMember
from outreach.staff.roles import ADMINISTRATORS, StaffRequest, may
from outreach.staff.signing_in import as_sign_in_name


class PersonForm(forms.ModelForm):
    """Who someone is and what they may do."""

    class Meta:
        model = StaffMember
        fields = ["full_name", "username", "role", "ends_on"]
        widgets = {"ends_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")}
        help_texts = {
            "username": gettext_lazy("Lower case, for example their first name and a letter."),
            "ends_on": gettext_lazy("An auditor's access always ends; for others leave it empty."),
        }

    def clean_username(self) -> str:
        return as_sign_in_name(self.cleaned_data["username"])


class WhyForm(forms.Form):
    """The reason that goes into the trail."""

    reason = forms.CharField(label=gettext_lazy("Why"), max_length=500, required=False)


@require_GET
@may(*ADMINISTRATORS)
def staff_list(request: StaffRequest) -> HttpResponse:
    members = StaffMember.objects.order_by("deactivated_at", "full_name")
    return render(request, "staff/people.html", {"members": members, "today": timezone.localdate()})


@require_http_methods(["GET", "POST"])
@may(*ADMINISTRATORS)
def staff_add(request: StaffRequest) -> HttpResponse:
    form = PersonForm(_posted(request))
    if form.is_valid():
        member, password = people.admit(**form.cleaned_data, by=request.user)
        return _password_given(request, member, password)
    return render(request, "staff/person_add.html", {"form": form})


@require_http_methods(["GET", "POST"])
@may(*ADMINISTRATORS)
def staff_edit(request: StaffRequest, member_id: int) -> HttpResponse:
    member = get_object_or_404(StaffMember, pk=member_id)
    form = PersonForm(_posted(request), instance=member)
    why = WhyForm(_posted(request))
    if (
        form.is_valid()
        and why.is_valid()
        and _tried(
            form,
            lambda: people.correct(
                member=member,
                by=request.user,
                reason=why.cleaned_data["reason"],
            ),
        )
    ):
        messages.success(request, _("Saved."))
        return redirect("staff_list")
    shown = get_object_or_404(StaffMember, pk=member_id)
    entries = audit.entries_of(shown)
    return render(
        request, "staff/person.html", {"form": form, "why": why, "member": shown, "entries": entries}
    )


@require_http_methods(["GET", "POST"])
@may(*ADMINISTRATORS)
def staff_deactivate(request: StaffRequest, member_id: int) -> HttpResponse:
    member = get_object_or_404(StaffMember, pk=member_id)
    form = WhyForm(_posted(request))
    if form.is_valid() and _tried(
        form,
        lambda: people.deactivate(
            member=member,
            by=request.user,
            at=timezone.now(),
            reason=form.cleaned_data["reason"],
        ),
    ):
        messages.success(request, _("%(name)s can no longer sign in.") % {"name": member.full_name})
        return redirect("staff_list")
    return render(request, "staff/deactivate.html", {"form": form, "member": member})


@require_http_methods(["GET", "POST"])
@may(*ADMINISTRATORS)
def staff_reactivate(request: StaffRequest, member_id: int) -> HttpResponse:
    member = get_object_or_404(StaffMember, pk=member_id)
    form = WhyForm(_posted(request))
    if form.is_valid():
        member, password = people.reactivate(
            member=member,
            by=request.user,
            reason=form.cleaned_data["reason"],
        )
        return _password_given(request, member, password)
    return render(request, "staff/reactivate.html", {"form": form, "member": member})


@require_http_methods(["GET", "POST"])
@may(*ADMINISTRATORS)
def staff_new_password(request: StaffRequest, member_id: int) -> HttpResponse:
    member = get_object_or_404(StaffMember, pk=member_id)
    if request.method == "POST":
        password = people.give_password(member=member, by=request.user)
        return _password_given(request, member, password)
    return render(request, "staff/new_password.html", {"form": forms.Form(), "member": member})


def _posted(request: StaffRequest) -> QueryDict | None:
    return request.POST if request.method == "POST" else None


def _tried(form: forms.BaseForm, act: Callable[[], Any]) -> bool:
    """Act; where the records refuse, put their sentence on the form."""
    try:
        act()
    except ValidationError as refusal:
        form.add_error(None, ValidationError(refusal.messages))
        return False
    return True


def _password_given(request: StaffRequest, member: StaffMember, password: str) -> HttpResponse:
    """Shown once and kept nowhere, neither here nor by the browser."""
    answer = render(request, "staff/password_given.html", {"member": member, "password": password})
    answer["Cache-Control"] = "no-store"
    return answer
