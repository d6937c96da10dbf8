"""The dry clock of one coat as its page tells it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from django.utils.formats import number_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop.models import Zone
from shop.units import UnitSystem, format_temperature
from stages.engine.label import Label
from stages.engine.state import Coat
from stages.engine.vocab import Surface
from stages.engine.work import Work
from stages.models import Surface as SurfaceNames
from stages.pictures.age_curve import AgePicture, Goal, draw_age_curve
from stages.queries.coat_course import WhatIf, aheads, air_along, band_words, course_of, goals_of
from stages.queries.pictured import DayOfAir, Degrees, days_of, label_hours
from stages.queries.sheet import AtHand
from stages.saying import when


@dataclass(frozen=True, slots=True, kw_only=True)
class GoalRow:
    """A goal in words: hours of the label, when it is reached, the band, and when it would be in a room kept so."""

    name: str
    hours: str
    likely: str
    band: str
    reached: bool
    what_if: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """The dry clock of a coat: its picture, and all that the picture says in words."""

    label_says: str
    factor_says: str
    says: str
    assumed: str
    closes: str
    picture: AgePicture
    goals: tuple[GoalRow, ...]
    days: tuple[DayOfAir, ...]
    what_if: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatPage:
    """What the page of a coat shows; ``clock`` is None for what needs no time to dry."""

    coat: Coat
    product: str
    surface: str
    stage: str
    went_on: str
    zones: tuple[Zone, ...]
    clock: Clock | None


def coat_of(work: Work, line: int) -> Coat | None:
    """The coat that a line of the log put on; None where there is none, or it came off again."""
    return next((coat for surface in Surface for coat in work.state.stack(surface) if coat.entry == line), None)


def coat_page(at_hand: AtHand, coat: Coat, what_if: WhatIf | None = None) -> CoatPage:
    """The page of a coat, without a query.

    Parameters
    ----------
    at_hand : AtHand
        The hull, and the shop around it.
    coat : Coat
        One of its coats.
    what_if : WhatIf, optional
        How its room would be kept from now on.
    """
    work, setup, now = at_hand.work, at_hand.setup, at_hand.now
    label, spec = work.label(coat), work.route.by_key.get(coat.stage)
    return CoatPage(
        coat=coat,
        product=work.product(coat).name,
        surface=str(SurfaceNames(coat.surface).label),
        stage=spec.name if spec else coat.stage,
        went_on=when(coat.at, now),
        zones=tuple(setup.zones[zone] for zone in dict(work.stood_in(coat)) if zone in setup.zones),
        clock=_clock(at_hand, coat, label, what_if) if label and label.hours else None,
    )


def _clock(at_hand: AtHand, coat: Coat, label: Label, what_if: WhatIf | None) -> Clock:
    work, now, units = at_hand.work, at_hand.now, UnitSystem(at_hand.setup.shop.units)
    ahead = aheads(work, coat, now, at_hand.setup.zones, what_if)
    goals = goals_of(coat, label, ahead)
    course = course_of(coat, label, ahead, goals, now, units)
    along = air_along(ahead.likely, coat, course.timeline)
    return Clock(
        label_says=_label_says(label, units),
        factor_says=_factor_says(work.product(coat).factor),
        says=" ".join(_says(goals, now)),
        assumed=_assumed(ahead.likely, coat, now),
        closes=when(course.closes, now) if course.closes else "",
        picture=draw_age_curve(course),
        goals=tuple(_goal_row(goal, now, what_if=what_if is not None) for goal in goals),
        days=tuple(days_of(along, now, work.world.zone_info, Degrees(units))),
        what_if=_room(what_if, units) if what_if else "",
    )


def _label_says(label: Label, units: UnitSystem) -> str:
    """The condition that the label's hours hold at."""
    at = {"air": format_temperature(label.reference_c, units), "rh": f"{label.reference_rh_pct:.0f}"}
    return _("%(air)s and %(rh)s %%") % at


def _factor_says(factor: float) -> str:
    """The shop's factor, where it is not the label's own."""
    if f"{factor:.2f}" == "1.00":
        return ""
    return _("%(factor)s times the label's hours in this shop") % {"factor": number_format(factor, 2)}


def _says(goals: tuple[Goal, ...], now: datetime) -> Iterator[str]:
    reached = [goal for goal in goals if goal.likely and goal.likely <= now]
    coming = [goal for goal in goals if goal not in reached]
    if reached and reached[-1].likely:
        yield capfirst(
            _("%(goal)s since %(when)s.") % {"goal": reached[-1].name, "when": when(reached[-1].likely, now)}
        )
    if not coming:
        return
    if coming[0].likely is None:
        yield _("It stands still in this air: it will not be %(goal)s.") % {"goal": coming[0].name}
        return
    words = _("%(goal)s %(when)s") % {"goal": coming[0].name, "when": when(coming[0].likely, now)}
    yield capfirst(", ".join(filter(None, (words, band_words(coming[0], now)))) + ".")


def _goal_row(goal: Goal, now: datetime, *, what_if: bool) -> GoalRow:
    never = _("not in such air")
    return GoalRow(
        name=capfirst(goal.name),
        hours=label_hours(goal.needed_h),
        likely=when(goal.likely, now) if goal.likely else _("not in this air"),
        band=band_words(goal, now),
        reached=goal.likely is not None and goal.likely <= now,
        what_if=(when(goal.what_if, now) if goal.what_if else never) if what_if else "",
    )


def _assumed(work: Work, coat: Coat, now: datetime) -> str:
    hours = round(work.age(coat, now).assumed_h)
    if not hours:
        return ""
    words = ngettext(
        "Nobody measured the air for %(hours)s hour of it; that part is assumed.",
        "Nobody measured the air for %(hours)s hours of it; that part is assumed.",
        hours,
    )
    return words % {"hours": hours}


def _room(what_if: WhatIf, units: UnitSystem) -> str:
    air = format_temperature(what_if.air_c, units)
    if what_if.rh_pct is None:
        return air
    return _("%(air)s and %(rh)s %%") % {"air": air, "rh": f"{what_if.rh_pct:.0f}"}
