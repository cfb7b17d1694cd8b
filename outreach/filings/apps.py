from django.apps import AppConfig


class FilingsConfig(AppConfig):
    name = "outreach.filings"
    label = "filings"
