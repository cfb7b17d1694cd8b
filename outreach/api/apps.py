from django.apps import AppConfig


class ApiConfig(AppConfig):
    name = "outreach.api"
    label = "api"
