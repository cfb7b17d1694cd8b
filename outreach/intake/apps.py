from django.apps import AppConfig


class IntakeConfig(AppConfig):
    name = "outreach.intake"
    label = "intake"
