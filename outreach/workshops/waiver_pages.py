"""The waiver that people accept at the door: its text in both languages, version by version."""

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from outreach.staff.roles import OFFICE, StaffRequest, may
from outreach.workshops import waivers
from outreach.workshops.models import WaiverText


class WaiverForm(forms.Form):
    """The text in each language that residents choose from."""

    english = forms.CharField(
        label=gettext_lazy("Text in English"), widget=forms.Textarea(attrs={"rows": 10})
    )
    spanish = forms.CharField(
        label=gettext_lazy("Text in Spanish"), widget=forms.Textarea(attrs={"rows": 10})
    )


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def waiver_texts(request: StaffRequest) -> HttpResponse:
    """Read the versions, and write a new one; what people accepted stays as it was."""
    current = WaiverText.objects.current()
    initial = {name: current[code].body for name, code in LANGUAGES.items() if code in current}
    form = WaiverForm(request.POST or None, initial=initial)
    if form.is_valid():
        bodies = {code: form.cleaned_data[name] for name, code in LANGUAGES.items()}
        version = waivers.write_version(bodies=bodies, by=request.user, at=timezone.now())
        messages.success(request, _("Version %(version)d is in force from now on.") % {"version": version})
        return redirect("waiver_texts")
    context = {"form": form, "texts": WaiverText.objects.all(), "current": current}
    return render(request, "workshops/waiver_texts.html", context, status=422 if form.errors else 200)


LANGUAGES = {"english": "en", "spanish": "es"}
