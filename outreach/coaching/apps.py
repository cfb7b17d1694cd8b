from django.apps import AppConfig


class CoachingConfig(AppConfig):
    name = "outreach.coaching"
    label = "coaching"

    def ready(self) -> None:
        from outreach.coaching import local_rules

        local_rules.browns_per_green()
