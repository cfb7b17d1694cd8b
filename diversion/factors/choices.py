"""The choices that pick among the factors of a set. A table, not a method."""

from enum import IntEnum, StrEnum


class Precipitation(StrEnum):
    """How wet a landfill's site is: rain a year plus recirculated leachate. Picks the decay rate."""

    DRY = "dry"  # under 20 inches a year
    BETWEEN = "between"  # 20 to 40 inches
    WET = "wet"  # over 40 inches


class Report(StrEnum):
    """Which assessment report's warming potentials are used; funders name one."""

    AR4 = "AR4"
    AR5 = "AR5"
    AR6 = "AR6"


class Horizon(IntEnum):
    """Years over which warming is added up."""

    YEARS_20 = 20
    YEARS_100 = 100
