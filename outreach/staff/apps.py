from django.apps import AppConfig


class StaffConfig(AppConfig):
    name = "outreach.staff"
    label = "staff"
