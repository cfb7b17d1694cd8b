from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class EndingConfig(AppConfig):
    name = "outreach.ending"
    label = "ending"

    def ready(self) -> None:
        from outreach.ending import forgetting as own_forgetting
        from outreach.households import forgetting
        from outreach.places import set_up
        from outreach.staff import guard
        from outreach.staff.roles import ADMINISTRATORS

        for name, handler in own_forgetting.HANDLERS.items():
            forgetting.register(name, handler)
        guard.append_only(
            "ending.EndStep",
            sentence="What was done at the end is never changed. Take the step back instead.",
        )
        set_up.register(
            _("Closing the programme"),
            "programme_end",
            ADMINISTRATORS,
            about=_(
                "Step by step, when the programme ends: last filing, sign-up, bins, open files, contact data."
            ),
        )
