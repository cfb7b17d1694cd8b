"""Pages for signing in and out, and for choosing one's own password."""

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.forms import PasswordChangeForm
from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from outreach.staff import people
from outreach.staff.roles import EVERYONE, StaffRequest, may
from outreach.staff.signing_in import SignInForm

sign_in = LoginView.as_view(
    template_name="staff/sign_in.html", authentication_form=SignInForm, redirect_authenticated_user=True
)
sign_out = may(*EVERYONE)(LogoutView.as_view())


@require_http_methods(["GET", "POST"])
@may(*EVERYONE)
def own_password(request: StaffRequest) -> HttpResponse:
    form = PasswordChangeForm(request.user, request.POST or None)
    if form.is_valid():
        people.choose_password(member=request.user, password=form.cleaned_data["new_password1"])
        update_session_auth_hash(request, request.user)
        messages.success(request, _("Your password is changed."))
        return redirect("season")
    return render(request, "staff/own_password.html", {"form": form})
