from django.apps import AppConfig


class BinsConfig(AppConfig):
    name = "outreach.bins"
    label = "bins"

    def ready(self) -> None:
        from outreach.staff import guard

        guard.append_only(
            "bins.StockMovement",
            sentence="A stock movement is never changed or removed. Record another that puts it right.",
        )
