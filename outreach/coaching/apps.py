from datetime import timedelta

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class CoachingConfig(AppConfig):
    name = "outreach.coaching"
    label = "coaching"

    def ready(self) -> None:
        self._forget()
        from outreach.coaching import local_rules, message_kinds, outcomes
        from outreach.staff import rounds

        local_rules.browns_per_green()
        message_kinds.register()
        rounds.every(timedelta(hours=1), "outcomes of help", outcomes.ask_due)
        self._fill_lower_apps()
        self._last_contact()

    def _last_contact(self) -> None:
        from outreach.coaching import forgetting
        from outreach.coaching import last_contact as coaching
        from outreach.households import last_contact, without_household

        last_contact.hear_from("help", coaching.HELPED)
        last_contact.hear_from("help not closed", coaching.still_open)
        without_household.register("help", forgetting.empty_without_household)

    def _fill_lower_apps(self) -> None:
        from outreach.coaching import dossier
        from outreach.coaching.merging import CountHelp
        from outreach.households import dossier as households
        from outreach.households import merging
        from outreach.places import set_up
        from outreach.staff import shortcuts
        from outreach.staff.roles import WITH_CONTACT_DATA

        merging.register("coaching", CountHelp(), covers=CountHelp.covers)
        households.register_timeline(dossier.timeline)
        households.register_action(dossier.actions)
        households.register_panel("coaching/staff/panel.html", dossier.panel)
        set_up.register(
            _("Local rules"),
            "local_rules",
            about=_("What each jurisdiction asks of a compost bin, where that was read, and whom to call."),
        )
        shortcuts.register("handout", _("Print the sheet for it"), "handout_sheet", WITH_CONTACT_DATA)
        shortcuts.register(
            "workshop", _("Sheets for those who took a bin"), "workshop_sheets", WITH_CONTACT_DATA
        )

    def _forget(self) -> None:
        from outreach.coaching import forgetting as own_forgetting
        from outreach.households import forgetting

        for name, handler in own_forgetting.HANDLERS.items():
            forgetting.register(name, handler)
