from django.apps import AppConfig


class DoorConfig(AppConfig):
    name = "outreach.door"
    label = "door"

    def ready(self) -> None:
        from outreach.staff import guard

        guard.append_only(
            "door.DoorEvent",
            sentence="What a device sent is never changed or removed. What became of it is kept beside it.",
        )
        guard.append_only(
            "door.Closing",
            sentence="A closing is never changed or removed. Open the workshop again and close it anew.",
        )
