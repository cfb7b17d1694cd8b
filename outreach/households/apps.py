from django.apps import AppConfig


class HouseholdsConfig(AppConfig):
    name = "outreach.households"
    label = "households"

    def ready(self) -> None:
        from outreach.households import dossier, history, merging
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
            },
        )
        dossier.register_timeline(history.entries)
