from django.apps import AppConfig


class PostConfig(AppConfig):
    name = "outreach.post"
    label = "post"
