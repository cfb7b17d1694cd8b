from django.apps import AppConfig


class BinsConfig(AppConfig):
    name = "outreach.bins"
    label = "bins"
