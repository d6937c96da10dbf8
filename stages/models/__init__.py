"""The tables of routes, of the log, and of its projection."""

from stages.models.choices import Condition, Damage, Dryness, Surface
from stages.models.entries import AppendOnlyError, Entry, EntryKind
from stages.models.plans import Feed, How, HullDates, Plan
from stages.models.projection import CoatOn, HullWork, StageState
from stages.models.routes import Route, RouteStage

__all__ = [
    "AppendOnlyError",
    "CoatOn",
    "Condition",
    "Damage",
    "Dryness",
    "Entry",
    "EntryKind",
    "Feed",
    "How",
    "HullDates",
    "HullWork",
    "Plan",
    "Route",
    "RouteStage",
    "StageState",
    "Surface",
]
