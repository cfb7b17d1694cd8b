from django.apps import AppConfig
from django.db.models.signals import post_migrate
from django.utils.translation import gettext_lazy as _


class FundingConfig(AppConfig):
    name = "outreach.funding"
    label = "funding"

    def ready(self) -> None:
        self._forget()
        from django.core import checks

        from outreach.funding import shares_guard
        from outreach.places import set_up
        from outreach.staff import checking, guard

        guard.append_only(
            "funding.HourRate",
            sentence="A rate is never changed or removed. Add another that holds from its day on.",
        )
        post_migrate.connect(shares_guard.make_triggers, sender=self)
        checks.register(shares_guard.look, checks.Tags.database)
        checking.register(
            "shares of costs and hours", shares_guard.shares_that_differ, shares_guard.leave_to_a_person
        )

        set_up.register(
            _("Funding sources"),
            "funding_sources",
            about=_("Grants and budgets that pay: from when until when, how much, for whom."),
        )

    def _forget(self) -> None:
        from outreach.funding import forgetting as own_forgetting
        from outreach.households import forgetting

        for name, handler in own_forgetting.HANDLERS.items():
            forgetting.register(name, handler)
