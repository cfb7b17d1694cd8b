from django.apps import AppConfig


class DoorConfig(AppConfig):
    name = "outreach.door"
    label = "door"

    def ready(self) -> None:
        self._forget()
        from django.utils.translation import gettext_lazy as _

        from outreach.door.closing import AskTheDevices
        from outreach.staff import guard, shortcuts
        from outreach.staff.roles import WITH_CONTACT_DATA
        from outreach.workshops import followers

        guard.append_only(
            "door.DoorEvent",
            sentence="What a device sent is never changed or removed. What became of it is kept beside it.",
        )
        guard.append_only(
            "door.Closing",
            sentence="A closing is never changed or removed. Open the workshop again and close it anew.",
        )
        followers.register("door", AskTheDevices())
        shortcuts.register("workshop", _("The Door now"), "door_live", WITH_CONTACT_DATA)
        shortcuts.register("workshop", _("Door passes"), "door_passes")
        shortcuts.register("workshop", _("Count and close"), "door_close")

    def _forget(self) -> None:
        from outreach.door import forgetting as own_forgetting
        from outreach.households import forgetting

        for name, handler in own_forgetting.HANDLERS.items():
            forgetting.register(name, handler)
