from django.apps import AppConfig


class WorkshopsConfig(AppConfig):
    name = "outreach.workshops"
    label = "workshops"

    def ready(self) -> None:
        from outreach.households import dossier, merging
        from outreach.workshops.dossier import timeline
        from outreach.workshops.merging import CountRegistrations

        merging.register(
            "workshops",
            CountRegistrations(),
            covers={"workshops.Registration.household", "workshops.Registration.counted_under"},
        )
        dossier.register_timeline(timeline)
