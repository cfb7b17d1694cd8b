from django.apps import AppConfig


class SiteConfig(AppConfig):
    name = "outreach.site"
    label = "site"
