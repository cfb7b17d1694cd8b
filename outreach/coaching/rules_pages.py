"""Set-up of local rules: the list, one to add, one to correct, as of every other record that is set up."""

from typing import Any

from django.utils.translation import gettext_lazy as _

from outreach.coaching.help_forms import LocalRulesForm
from outreach.coaching.models import LocalRules
from outreach.places.pages import Kind, RecordAdd, RecordCorrect, RecordList
from outreach.staff.roles import OFFICE, may

LOCAL_RULES = Kind(
    model=LocalRules,
    form_class=LocalRulesForm,
    plural=_("Local rules"),
    add_words=_("Add the rules of a jurisdiction"),
    name="local_rule",
    list_url="local_rules",
    related=("jurisdiction",),
)


class RulesList(RecordList):
    """Jurisdictions whose rules someone looked up."""

    def get_template_names(self) -> list[str]:
        page = "coaching/staff/local_rules.html"
        return [f"{page}#rows" if self.request.htmx else page]


def _admitted(view: Any) -> Any:
    return may(*OFFICE)(view.as_view(kind=LOCAL_RULES))


local_rules = _admitted(RulesList)
local_rule_add = _admitted(RecordAdd)
local_rule = _admitted(RecordCorrect)
