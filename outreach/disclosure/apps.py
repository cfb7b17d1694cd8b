from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class DisclosureConfig(AppConfig):
    name = "outreach.disclosure"
    label = "disclosure"

    def ready(self) -> None:
        from outreach.disclosure import forgetting as own_forgetting
        from outreach.households import forgetting
        from outreach.places import set_up
        from outreach.staff import guard, shortcuts
        from outreach.staff.roles import TRAIL_READERS

        for name, handler in own_forgetting.HANDLERS.items():
            forgetting.register(name, handler)
        sentence = "What went out of the programme's records is never changed. Make and hand over another."
        guard.append_only("disclosure.Disclosure", sentence=sentence)
        guard.append_only("disclosure.Handover", sentence=sentence)
        shortcuts.register("filings", _("Records requests"), "records_requests", TRAIL_READERS)
        set_up.register(
            _("What is withheld"),
            "withholdings",
            about=_("Which fields are blacked out in answers to records requests, why, and by which law."),
        )
