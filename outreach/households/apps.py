from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class HouseholdsConfig(AppConfig):
    name = "outreach.households"
    label = "households"

    def ready(self) -> None:
        from outreach.households import consent_panel, dossier, history, merging
        from outreach.households.merge_handlers import MergedEarlier, SamePeople

        # People first: they are looked up by the records merged earlier, before those move on.
        merging.register("people", SamePeople(), covers={"households.Participant.household"})
        merging.register(
            merging.EARLIER,
            MergedEarlier(),
            covers={
                "households.Household.merged_into",
                # The history of merges names its two households for good.
                "households.HouseholdMerge.kept",
                "households.HouseholdMerge.absorbed",
                # A hold on any record of a merged household holds them all.
                "households.ForgettingHold.household",
                # What was said on any of its records is looked up under all of them.
                "households.Consent.household",
            },
        )
        dossier.register_timeline(history.entries)
        dossier.register_panel("households/consent_panel.html", consent_panel.panel)
        self._forget()
        self._retention()

    def _forget(self) -> None:
        from outreach.households import forget_handlers, forgetting, forgotten_list
        from outreach.places import set_up
        from outreach.staff import guard, restoring
        from outreach.staff.roles import TRAIL_READERS

        for name, handler in forget_handlers.HANDLERS.items():
            forgetting.register(name, handler)
        guard.append_only(
            "households.Consent",
            sentence="What a household said is never changed. Write down what it says now.",
        )
        guard.append_only(
            "households.Forgotten",
            sentence="What was destroyed is listed for good; this list is never changed.",
        )
        set_up.register(
            _("What was destroyed"),
            "forgotten",
            TRAIL_READERS,
            about=_("Residents who were forgotten, by number: when, why and by whom."),
        )
        restoring.afterwards("people forgotten since the backup", forgotten_list.repeat_all)

    def _retention(self) -> None:
        from outreach.households import last_contact
        from outreach.households.last_contact import Latest
        from outreach.places import set_up
        from outreach.staff import guard
        from outreach.staff.roles import OFFICE

        last_contact.hear_from("moves", last_contact.moves)
        last_contact.hear_from(
            "people", Latest("households.Participant", of="household", days=["first_seen_on"])
        )
        last_contact.hear_from("consent", Latest("households.Consent", of="household", instants=["said_at"]))
        guard.append_only(
            "households.RetentionSchedule",
            sentence="Under which schedule something was destroyed stays on record. Set a new one.",
        )
        guard.append_only(
            "households.RetentionRun", sentence="When somebody looked stays on record; this is never changed."
        )
        set_up.register(
            _("How long contact data is kept"),
            "retention",
            OFFICE,
            about=_("Months after a bin was last in use; what that would drop today."),
        )
        set_up.register(
            _("Records held"), "holds", OFFICE, about=_("Who must not be forgotten yet, until when.")
        )
