from django.apps import AppConfig


class PlacesConfig(AppConfig):
    name = "outreach.places"
    label = "places"
