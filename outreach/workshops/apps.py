from django.apps import AppConfig


class WorkshopsConfig(AppConfig):
    name = "outreach.workshops"
    label = "workshops"
