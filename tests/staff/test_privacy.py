"""Every column of ours has one class, and the audit trail follows the classes."""

import pytest
from auditlog.registry import auditlog
from django.apps import apps

from outreach.staff import audit, privacy

OURS = [model for model in apps.get_models() if model.__module__.startswith("outreach.")]


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label)
def test_every_field_is_classed_once(model):
    classes = privacy.classes_of(model)
    fields = {field.name for field in model._meta.concrete_fields} | {
        field.name for field in model._meta.many_to_many
    }

    assert classes.personal | classes.household | classes.open == fields


def test_a_field_in_two_classes_is_refused():
    with pytest.raises(ValueError, match="two classes: note"):
        privacy.Classes(personal=frozenset({"note"}), household=frozenset({"id"}), open=frozenset({"note"}))


def test_an_undeclared_model_says_where_to_declare_it():
    with pytest.raises(LookupError, match=r"Declare sessions\.Session in the privacy\.py of its app"):
        privacy.classes_of(apps.get_model("sessions.Session"))


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label)
def test_every_model_is_kept_in_the_trail_or_left_out_for_a_reason(model):
    is_kept = model in audit.kept_models()
    reason = audit.left_models().get(model._meta.label, "")

    assert is_kept != bool(reason)


@pytest.mark.parametrize("model", audit.kept_models(), ids=lambda model: model._meta.label)
def test_the_trail_masks_exactly_the_personal_fields(model):
    registered = auditlog.get_model_fields(model)

    assert set(registered["mask_fields"]) == privacy.classes_of(model).personal
    assert registered["mask_callable"] == "outreach.staff.audit.masked"


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label)
def test_free_text_is_personal(model):
    """A note, reason or remark can hold anything, so it is never household or open."""
    published = {
        "disclosure.Withholding": {"reason"},
        "filings.Filing": {"reasons"},
        "intake.PaperworkRow": {"review_reason"},
    }
    free = {"note", "notes", "reason", "reasons", "remarks", "void_reason", "problems", "review_reason"}
    texts = {field.name for field in model._meta.concrete_fields if field.name in free}

    assert texts - published.get(model._meta.label, set()) <= privacy.classes_of(model).personal
