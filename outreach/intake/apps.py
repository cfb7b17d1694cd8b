from django.apps import AppConfig


class IntakeConfig(AppConfig):
    name = "outreach.intake"
    label = "intake"

    def ready(self) -> None:
        from outreach.households import dossier, merging
        from outreach.intake import provenance

        merging.register("paperwork", provenance.KeepsItsPaper(), covers={"intake.IntakeMade.household"})
        dossier.register_timeline(provenance.household_entries)
