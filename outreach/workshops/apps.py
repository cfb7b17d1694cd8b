from datetime import timedelta

from django.apps import AppConfig


class WorkshopsConfig(AppConfig):
    name = "outreach.workshops"
    label = "workshops"

    def ready(self) -> None:
        self._forget()
        from outreach.households import dossier, merging
        from outreach.staff import checking, guard, rounds
        from outreach.workshops import due, message_kinds, seats
        from outreach.workshops.dossier import timeline
        from outreach.workshops.merging import CountRegistrations

        merging.register(
            "workshops",
            CountRegistrations(),
            covers=CountRegistrations.covers,
        )
        dossier.register_timeline(timeline)
        message_kinds.register_all()
        rounds.every(timedelta(minutes=1), "workshops due", due.settle_due)
        guard.append_only(
            "workshops.WaiverText",
            sentence="A waiver text is never changed or removed. Write a new version.",
        )
        checking.register("people booked", seats.differing, seats.rebuild_all)
        self._last_contact()

    def _last_contact(self) -> None:
        from outreach.households import last_contact
        from outreach.workshops import last_contact as workshops

        last_contact.hear_from("registrations", workshops.CAME)
        last_contact.hear_from("bookings", workshops.SIGNED_UP)

    def _forget(self) -> None:
        from outreach.households import forgetting
        from outreach.workshops import forgetting as own_forgetting

        for name, handler in own_forgetting.HANDLERS.items():
            forgetting.register(name, handler)
