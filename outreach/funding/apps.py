from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class FundingConfig(AppConfig):
    name = "outreach.funding"
    label = "funding"

    def ready(self) -> None:
        from outreach.places import set_up

        set_up.register(
            _("Funding sources"),
            "funding_sources",
            about=_("Grants and budgets that pay: from when until when, how much, for whom."),
        )
