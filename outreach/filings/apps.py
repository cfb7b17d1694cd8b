from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class FilingsConfig(AppConfig):
    name = "outreach.filings"
    label = "filings"

    def ready(self) -> None:
        self._forget()
        from outreach.staff import guard, shortcuts
        from outreach.staff.roles import READERS

        shortcuts.register("followup", _("Households to call next"), "call_next", READERS)
        sentence = "A submitted filing is never changed or removed. Restate it by filing again, with reasons."
        guard.append_only("filings.Filing", sentence=sentence)
        guard.append_only("filings.FilingLine", sentence=sentence)

    def _forget(self) -> None:
        from outreach.filings import forgetting as own_forgetting
        from outreach.households import forgetting

        for name, handler in own_forgetting.HANDLERS.items():
            forgetting.register(name, handler)
