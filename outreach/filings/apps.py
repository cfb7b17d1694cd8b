from django.apps import AppConfig


class FilingsConfig(AppConfig):
    name = "outreach.filings"
    label = "filings"

    def ready(self) -> None:
        from outreach.staff import guard

        sentence = "A submitted filing is never changed or removed. Restate it by filing again, with reasons."
        guard.append_only("filings.Filing", sentence=sentence)
        guard.append_only("filings.FilingLine", sentence=sentence)
