from django.apps import AppConfig


class WorkshopsConfig(AppConfig):
    name = "outreach.workshops"
    label = "workshops"

    def ready(self) -> None:
        from outreach.households import dossier, merging
        from outreach.staff import checking
        from outreach.workshops import seats
        from outreach.workshops.dossier import timeline
        from outreach.workshops.merging import CountRegistrations

        merging.register(
            "workshops",
            CountRegistrations(),
            covers={"workshops.Registration.household", "workshops.Registration.counted_under"},
        )
        dossier.register_timeline(timeline)
        checking.register("people booked", seats.differing, seats.rebuild_all)
