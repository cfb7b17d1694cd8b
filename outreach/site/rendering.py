"""How a form looks, wherever `{{ form }}` or `{{ form.field.as_field_group }}` is written."""

from collections.abc import Mapping
from typing import Any

from django.forms.renderers import TemplatesSetting
from django.http import HttpRequest
from django.utils.translation import gettext as _

FRAMEWORK_BLANK = "---------"


class NotebookForms(TemplatesSetting):
    """Render forms with the templates of templates/pieces/form/."""

    form_template_name = "pieces/form/fields.html"
    field_template_name = "pieces/form/field.html"
    formset_template_name = "pieces/form/formset.html"

    def render(
        self, template_name: str, context: Mapping[str, Any], request: HttpRequest | None = None
    ) -> str:
        for _group, options, _index in context.get("widget", {}).get("optgroups", []):
            for option in options:
                if option["label"] == FRAMEWORK_BLANK:
                    option["label"] = _("choose one") if context["widget"]["required"] else "–"
        return super().render(template_name, dict(context), request)
