"""The two systems of units that a shop chooses between."""

from enum import StrEnum


class UnitSystem(StrEnum):
    """The shop's choice: how quantities are shown, and what a bare temperature means."""

    METRIC = "metric"
    US = "us"
