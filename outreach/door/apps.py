from django.apps import AppConfig


class DoorConfig(AppConfig):
    name = "outreach.door"
    label = "door"
