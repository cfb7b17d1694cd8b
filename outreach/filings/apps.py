from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class FilingsConfig(AppConfig):
    name = "outreach.filings"
    label = "filings"

    def ready(self) -> None:
        from outreach.staff import guard, shortcuts
        from outreach.staff.roles import READERS

        shortcuts.register("followup", _("Households to call next"), "call_next", READERS)
        sentence = "A submitted filing is never changed or removed. Restate it by filing again, with reasons."
        guard.append_only("filings.Filing", sentence=sentence)
        guard.append_only("filings.FilingLine", sentence=sentence)
