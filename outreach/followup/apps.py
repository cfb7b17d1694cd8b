from django.apps import AppConfig


class FollowUpConfig(AppConfig):
    name = "outreach.followup"
    label = "followup"
