"""The problems people come with, in the order in which they are shown; keys of problems.toml."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Symptom(models.TextChoices):
    SOUR = "sour", _("it smells sour or of rotten eggs")
    AMMONIA = "ammonia", _("it smells of ammonia")
    NOTHING_HAPPENS = "nothing_happens", _("nothing happens")
    DRY = "dry", _("it is dry")
    SOGGY = "soggy", _("it is soggy")
    ANTS = "ants", _("ants")
    FLIES = "flies", _("flies")
    LARVAE = "larvae", _("larvae and other small animals")
    RATS = "rats", _("rats, mice or raccoons")
    HOT = "hot", _("it is too hot, or smokes")
    WEEDS = "weeds", _("weeds sprout in it")
    PLANTS = "plants", _("plants were harmed after compost was used")
