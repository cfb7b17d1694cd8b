"""What goes into a bin."""

from enum import StrEnum


class Material(StrEnum):
    """The three materials that are asked about and counted apart."""

    FOOD = "food"
    YARD = "yard"
    BROWNS = "browns"
