from django.apps import AppConfig


class FundingConfig(AppConfig):
    name = "outreach.funding"
    label = "funding"
