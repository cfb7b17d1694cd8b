"""How a form looks, wherever `{{ form }}` or `{{ form.field.as_field_group }}` is written."""

from django.forms.renderers import TemplatesSetting


class NotebookForms(TemplatesSetting):
    """Render forms with the templates of templates/pieces/form/."""

    form_template_name = "pieces/form/fields.html"
    field_template_name = "pieces/form/field.html"
    formset_template_name = "pieces/form/formset.html"
