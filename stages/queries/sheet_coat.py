"""The coat that a step in hand waits for: when it is dry, how early and how late, and what a warm room would do."""

from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from shop.units import UnitSystem, convert
from stages.engine.assess import Drying
from stages.engine.work import Work
from stages.pictures.age_curve import Goal
from stages.queries.coat_course import WhatIf, aheads, band_words, goal_of
from stages.queries.world import SetUp
from stages.saying import when


class _Room(NamedTuple):
    typed: float
    unit: str
    sign: str

    @property
    def air_c(self) -> float:
        return convert(self.typed, self.unit, "degC")


WARM_ROOM = {UnitSystem.METRIC: _Room(21.0, "degC", "°C"), UnitSystem.US: _Room(70.0, "degF", "°F")}


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingCoat:
    """A drying coat in words; ``room`` is a warm room's temperature in the shop's units, empty outdoors.

    ``says`` is empty where the coat stands still; ``room_says`` tells when it would be dry in the warm room.
    """

    line: int
    says: str
    room: str
    room_says: str


def drying_coat(work: Work, drying: Drying | None, setup: SetUp, now: datetime) -> DryingCoat | None:
    """Tell of the coat that a step waits for; None where it waits for none.

    Parameters
    ----------
    work : Work
        The hull.
    drying : Drying or None
        What the engine says of the coat.
    setup : SetUp
        The shop's zones and units.
    now : datetime
        The moment, aware.
    """
    if drying is None:
        return None
    room = _warm_room(work, drying, setup)
    goal = _goal(work, drying, setup, now, room)
    return DryingCoat(
        line=drying.coat.entry,
        says=_says(goal, now) if goal else "",
        room=f"{room.typed:g}" if room else "",
        room_says=_room_says(room, goal, now) if room else "",
    )


def _warm_room(work: Work, drying: Drying, setup: SetUp) -> _Room | None:
    """A warm room, where the coat stands in a room."""
    zone, _since = work.stood_in(drying.coat)[-1]
    return None if zone in work.world.outdoors else WARM_ROOM[UnitSystem(setup.shop.units)]


def _goal(work: Work, drying: Drying, setup: SetUp, now: datetime, room: _Room | None) -> Goal | None:
    """What the step waits for, in the air as it runs and in the warm room; None where the label does not say."""
    label, coat = work.label(drying.coat), drying.coat
    needed_h = label.hours_to(drying.dryness) if label else None
    if needed_h is None:
        return None
    what_if = WhatIf(air_c=room.air_c) if room else None
    return goal_of(coat, drying.dryness, needed_h, aheads(work, coat, now, setup.zones, what_if))


def _says(goal: Goal, now: datetime) -> str:
    if goal.likely is None:
        return ""
    words = _("%(goal)s %(when)s") % {"goal": goal.name, "when": when(goal.likely, now)}
    band = band_words(goal, now) if goal.early != goal.late else ""  # nights all alike leave no doubt
    return capfirst(", ".join(filter(None, (words, band))))


def _room_says(room: _Room, goal: Goal | None, now: datetime) -> str:
    words = {"room": f"{room.typed:g}", "unit": room.sign}
    if goal is None or goal.what_if is None or goal.what_if <= now:
        return _("What if the room were at %(room)s %(unit)s") % words
    words["when"] = when(goal.what_if, now)
    return _("What if the room were at %(room)s %(unit)s: %(when)s") % words
