from datetime import timedelta

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class FollowUpConfig(AppConfig):
    name = "outreach.followup"
    label = "followup"

    def ready(self) -> None:
        self._forget()
        from outreach.coaching import answer_links
        from outreach.followup import asking_help, asking_messages, in_force, invitation_links, reminding
        from outreach.followup.dossier import actions, asked_and_called, seen_and_weighed, timeline
        from outreach.followup.merging import CountAnswers, CountWhatWasSeen
        from outreach.households import dossier, merging
        from outreach.staff import checking, rounds

        merging.register(
            "followup",
            CountAnswers(),
            covers={"followup.Answer.household", "followup.Answer.counted_under"},
        )
        merging.register(
            "weigh-ins, site checks, invitations, calls", CountWhatWasSeen(), covers=CountWhatWasSeen.covers
        )
        dossier.register_timeline(timeline)
        dossier.register_timeline(seen_and_weighed)
        dossier.register_timeline(asked_and_called)
        dossier.register_action(actions)
        self._set_up()
        self._roster()
        self._last_contact()
        asking_messages.register()
        answer_links.register(invitation_links.standing_link)
        rounds.every(timedelta(minutes=15), "answers that ask for help", asking_help.open_wanted)
        rounds.every(timedelta(minutes=15), "waves, and reminders of them", reminding.ask_due)
        self._shortcuts()
        checking.register("days in force", in_force.differing, in_force.rebuild_all)

    def _roster(self) -> None:
        from outreach.followup import roster_column
        from outreach.workshops import roster

        roster.register_column(_("How it goes"), roster_column.cells, "followup/roster_cell.html")

    def _last_contact(self) -> None:
        from outreach.followup import last_contact as followup
        from outreach.households import last_contact

        for name, source in followup.SOURCES.items():
            last_contact.hear_from(name, source)

    def _set_up(self) -> None:
        from outreach.places import set_up
        from outreach.staff.roles import OFFICE

        set_up.register(
            "Follow-up waves", "waves", OFFICE, "How many months after a handout households are asked."
        )
        set_up.register(
            "Containers",
            "own_containers",
            OFFICE,
            "What residents count in, besides pails, buckets and bags.",
        )

    def _shortcuts(self) -> None:
        from outreach.staff import shortcuts
        from outreach.staff.roles import READERS, Role

        shortcuts.register("followup", _("Who was asked"), "asked", READERS)
        shortcuts.register("followup", _("Weigh-ins"), "weigh_ins", READERS)
        shortcuts.register("followup", _("Site checks"), "site_checks", READERS)
        shortcuts.register("workshops", _("Site checks"), "site_checks", (Role.DOOR_CREW,))
        for page in ("followup", "help"):
            shortcuts.register(page, _("Helped and not helped"), "helped_and_not", READERS)

    def _forget(self) -> None:
        from outreach.followup import forgetting as own_forgetting
        from outreach.households import forgetting

        for name, handler in own_forgetting.HANDLERS.items():
            forgetting.register(name, handler)
