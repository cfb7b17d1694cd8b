"""The table of what is withheld: by class of field, and column by column where the law of the place asks for it."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from outreach.disclosure import withholding
from outreach.disclosure.forms import ColumnForm, RuleForm
from outreach.staff.refusals import status_of, succeeds
from outreach.staff.roles import OFFICE, StaffRequest, may

get_or_post = require_http_methods(["GET", "HEAD", "POST"])


@get_or_post
@may(*OFFICE)
def withholdings(request: StaffRequest) -> HttpResponse:
    form = ColumnForm(request.POST or None)
    if form.is_valid() and succeeds(
        form,
        lambda: withholding.write(
            key=form.cleaned_data["key"], says=form.says, by=request.user, at=timezone.now()
        ),
    ):
        messages.success(request, _("This column is withheld from now on."))
        return redirect("withholdings")
    rules = withholding.in_force().by_key.values()
    return render(
        request, "disclosure/withholdings.html", {"rules": rules, "form": form}, status=status_of(form)
    )


@get_or_post
@may(*OFFICE)
def withholding_edit(request: StaffRequest, key: str) -> HttpResponse:
    rule = withholding.in_force().by_key.get(key)
    if rule is None:
        raise Http404(_("Nothing is said about this field."))
    begins_with = {"is_withheld": rule.is_withheld, "reason": rule.reason, "citation": rule.citation}
    form = RuleForm(request.POST or None, initial=begins_with, key=key)
    if form.is_valid() and succeeds(
        form, lambda: withholding.write(key=key, says=form.says, by=request.user, at=timezone.now())
    ):
        messages.success(request, _("Kept. What was made before stays as it was made."))
        return redirect("withholdings")
    return render(
        request, "disclosure/withholding.html", {"rule": rule, "form": form}, status=status_of(form)
    )
