from django.apps import AppConfig


class HouseholdsConfig(AppConfig):
    name = "outreach.households"
    label = "households"
