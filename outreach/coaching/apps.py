from django.apps import AppConfig


class CoachingConfig(AppConfig):
    name = "outreach.coaching"
    label = "coaching"

    def ready(self) -> None:
        from outreach.coaching import local_rules
        from outreach.coaching.merging import CountHelp
        from outreach.households import merging

        local_rules.browns_per_green()
        merging.register("coaching", CountHelp(), covers=CountHelp.covers)
