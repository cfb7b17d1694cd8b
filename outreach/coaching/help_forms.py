"""What the office types about help requests."""

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.bins.forms import DayField
from outreach.coaching.models import Complaint, HelpRequest, HelpStep, LocalRules, Visit
from outreach.coaching.symptoms import Symptom
from outreach.households.models import Household, Participant
from outreach.places.forms import date_field
from outreach.places.models import Jurisdiction
from outreach.post.residents_language import languages

Kind, CameBy = HelpRequest.Kind, HelpRequest.CameBy
TOLD_TO_US = [
    (one.value, one.label) for one in (CameBy.PHONE, CameBy.DOOR, CameBy.PUBLIC_PAGE, CameBy.ANSWER)
]
# What the office records by hand; the others are written when they are done.
BY_HAND = (
    HelpStep.Kind.CALL,
    HelpStep.Kind.NOT_REACHED,
    HelpStep.Kind.ADVICE_SAID,
    HelpStep.Kind.LETTER,
    HelpStep.Kind.OUTCOME_TOLD,
    HelpStep.Kind.NOTE,
)


class WhoseForm(forms.Form):
    """Whose help request it is: one of a household's people, or how to reach whoever asks."""

    participant = forms.ModelChoiceField(
        Participant.objects.none(),
        label=_("Who asks"),
        required=False,
        empty_label=_("someone of the household"),
    )
    written_name = forms.CharField(label=_("Name"), max_length=200, required=False)
    phone = forms.CharField(label=_("Phone"), max_length=40, required=False)
    email = forms.EmailField(label=_("E-mail"), required=False)
    written_address = forms.CharField(label=_("Address"), max_length=300, required=False)
    jurisdiction = forms.ModelChoiceField(
        Jurisdiction.objects.all(), label=_("Jurisdiction"), required=False, empty_label=_("not known")
    )
    language = forms.ChoiceField(label=_("Language"), choices=[], required=False)
    own_words = forms.CharField(
        label=_("In their own words"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def __init__(self, *args: Any, household: Household | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.household = household
        self.fields["language"].choices = [("", _("not known")), *languages()]  # type: ignore[attr-defined]
        if household is None:
            del self.fields["participant"]
            return
        self.fields["participant"].queryset = Participant.objects.of(household.counted_under)  # type: ignore[attr-defined]
        self.fields["language"].initial = household.language
        for name in ("written_name", "written_address", "jurisdiction"):
            del self.fields[name]


class HelpRequestForm(WhoseForm):
    """A problem or an objection that someone told of."""

    came_by = forms.ChoiceField(label=_("Came by"), choices=TOLD_TO_US)
    symptoms = forms.MultipleChoiceField(
        label=_("Symptoms"), choices=Symptom.choices, required=False, widget=forms.CheckboxSelectMultiple
    )
    objector = forms.ChoiceField(
        label=_("Who objects"),
        choices=[("", _("nobody: it is a problem")), *HelpRequest.Objector.choices],
        required=False,
    )
    due_on = DayField(_("Due on"), required=False, help_text=_("Empty: in five days."))
    field_order = ["came_by", "participant", "symptoms", "objector", "own_words"]

    def asked(self) -> dict[str, Any]:
        """What a valid form says, for `helping.Asked`."""
        said = {**self.cleaned_data, "household": self.household}
        said["symptoms"] = tuple(said["symptoms"])
        return said | {"kind": Kind.OBJECTION if said["objector"] else Kind.PROBLEM}


class ComplaintForm(WhoseForm):
    """A complaint that an authority passed on."""

    authority = forms.CharField(
        label=_("Authority"), max_length=120, help_text=_("Such as vector control or code enforcement.")
    )
    case_number = forms.CharField(label=_("Case number"), max_length=60)
    received_on = DayField(_("Received on"))
    due_on = DayField(_("Answer due on"))
    ordered_action = forms.CharField(
        label=_("Ordered action"), max_length=1000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    ordered_by_on = DayField(_("To be done by"), required=False)
    field_order = [
        "authority",
        "case_number",
        "received_on",
        "due_on",
        "ordered_action",
        "ordered_by_on",
        "own_words",
    ]
    OF_THE_CASE = ("authority", "case_number", "received_on", "ordered_action", "ordered_by_on")

    def case(self) -> dict[str, Any]:
        """What a valid form says of the case, for `helping.FromAuthority`."""
        return {name: self.cleaned_data[name] for name in self.OF_THE_CASE}

    def asked(self) -> dict[str, Any]:
        """The rest, for `helping.Asked`."""
        said = {name: value for name, value in self.cleaned_data.items() if name not in self.OF_THE_CASE}
        return said | {"household": self.household, "kind": Kind.COMPLAINT, "came_by": CameBy.AUTHORITY}


class StepForm(forms.Form):
    """A call, advice or a note, as it happened."""

    kind = forms.ChoiceField(label=_("What was done"), choices=[(one.value, one.label) for one in BY_HAND])
    on = DayField(_("On"))
    words = forms.CharField(
        label=_("In words"), max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 4})
    )


class VisitForm(forms.Form):
    """What was seen on a visit."""

    visited_on = DayField(_("Visited on"))
    visited_by = forms.CharField(label=_("Who went"), max_length=120)
    bin_in_use = forms.ChoiceField(label=_("The bin"), choices=Visit.BinInUse.choices, initial="not_seen")
    seen = forms.CharField(
        label=_("What was seen"), max_length=2000, widget=forms.Textarea(attrs={"rows": 4})
    )
    done = forms.CharField(
        label=_("What was done or advised"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class CloseForm(forms.Form):
    """What came of it."""

    outcome = forms.ChoiceField(label=_("Outcome"), choices=HelpRequest.Outcome.choices)
    note = forms.CharField(label=_("What came of it"), max_length=300, required=False)


class ReportBackForm(forms.Form):
    """What the authority was told."""

    outcome = forms.ChoiceField(label=_("What was found"), choices=Complaint.Outcome.choices)
    on = DayField(_("Reported back on"))


class LocalRulesForm(forms.ModelForm):
    """The rules of a jurisdiction, as someone looked them up."""

    checked_on = date_field(label=_("Looked up on"))

    class Meta:
        model = LocalRules
        fields: ClassVar = [
            "jurisdiction",
            "lot_line_feet",
            "dwelling_feet",
            "water_feet",
            "most_bins",
            "placement",
            "placement_es",
            "vector_control_name",
            "vector_control_phone",
            "source",
            "checked_on",
        ]
