from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class IntakeConfig(AppConfig):
    name = "outreach.intake"
    label = "intake"

    def ready(self) -> None:
        self._forget()
        from outreach.households import dossier, merging
        from outreach.intake import provenance
        from outreach.staff import shortcuts

        merging.register("paperwork", provenance.KeepsItsPaper(), covers={"intake.IntakeMade.household"})
        dossier.register_timeline(provenance.household_entries)
        for page in ("workshops", "followup"):
            shortcuts.register(page, _("Take in paperwork"), "intake")
        shortcuts.register("workshop", _("Type a sheet"), "type_sign_ins")
        shortcuts.register("followup", _("Type a sheet"), "type_answers")

    def _forget(self) -> None:
        from outreach.households import forgetting
        from outreach.intake import forgetting as own_forgetting

        for name, handler in own_forgetting.handlers():
            forgetting.register(name, handler)
