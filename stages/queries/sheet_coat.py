"""The coat that a step in hand waits for: when it is dry, how early and how late, and what a warm room would do."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from shop.units import UnitSystem
from stages.engine.assess import Drying
from stages.engine.work import Work
from stages.queries.coat_course import aheads, band_words, goal_of
from stages.queries.world import SetUp
from stages.saying import when

WARM_ROOM = {UnitSystem.METRIC: (21, "°C"), UnitSystem.US: (70, "°F")}


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingCoat:
    """A drying coat in words; ``room`` is a warm room's temperature in the shop's units, empty outdoors.

    ``says`` is empty where the coat stands still.
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
    zone, _since = work.stood_in(drying.coat)[-1]
    room, unit = WARM_ROOM[UnitSystem(setup.shop.units)]
    warmed = zone not in work.world.outdoors
    return DryingCoat(
        line=drying.coat.entry,
        says=_says(work, drying, setup, now),
        room=str(room) if warmed else "",
        room_says=_("What if the room were at %(room)s %(unit)s") % {"room": room, "unit": unit} if warmed else "",
    )


def _says(work: Work, drying: Drying, setup: SetUp, now: datetime) -> str:
    label, coat = work.label(drying.coat), drying.coat
    needed_h = label.hours_to(drying.dryness) if label else None
    if drying.at is None or needed_h is None:
        return ""
    goal = goal_of(coat, drying.dryness, needed_h, aheads(work, coat, now, setup.zones))
    words = _("%(goal)s %(when)s") % {"goal": goal.name, "when": when(drying.at, now)}
    band = band_words(goal, now) if goal.early != goal.late else ""  # nights all alike leave no doubt
    return capfirst(", ".join(filter(None, (words, band))))
