"""What would help most: one thing more each time, and the shop planned anew with it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, time

from django.utils.formats import number_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from stages.planner.listplan import list_plan
from stages.planner.problem import Person, Problem
from stages.planner.timegrid import SLOTS_AN_HOUR, Spans
from stages.planner.whatif import Help, Idea, more_hours, one_more_place, what_helps
from stages.queries.ahead import projection_of
from stages.queries.planning.grid import Grid
from stages.queries.problem import the_problem
from stages.queries.world import Around

MORE_HOURS = gettext_noop("Four hours more on Fridays: %(person)s")
DRIER = gettext_noop("Air held at 50 %% humidity or less: %(zone)s")
FRIDAY, EVENING, EXTRA_H = 4, time(17), 4
DRY_PCT = 50.0  # what a dehumidifier holds in a room; common practice, no published source
LEAST_DAYS = 0.5  # of lateness or of waiting: less is no help


@dataclass(frozen=True, slots=True, kw_only=True)
class HelpWords:
    """One thing more, and what it would bring, in words."""

    what: str
    brings: tuple[str, ...]


def helps(shop: Around, now: datetime) -> list[HelpWords]:
    """What would help, the best first; what helps little is left out.

    Parameters
    ----------
    shop : Around
        The shop.
    now : datetime
        The moment, aware.
    """
    problem = the_problem(shop, now)
    found = what_helps(problem, list_plan, _ideas(problem, shop, now))
    return [_said(one) for one in found if _is_help(one)]


def _is_help(one: Help) -> bool:
    return one.placed > 0 or (one.saved > 0 and max(one.late_days, one.done_days) >= LEAST_DAYS)


def _ideas(problem: Problem, shop: Around, now: datetime) -> Iterator[Idea]:
    for resource in problem.resources:
        yield one_more_place(problem, resource.key)
    grid = Grid.at(now, shop.world.zone_info)
    for person in problem.people:
        longer = more_hours(problem, person.key, _friday_evenings(person, grid))
        yield Idea(text=MORE_HOURS, values={"person": person.name}, problem=longer)
    for pk, zone in shop.setup.zones.items():
        log = shop.world.air.get(pk)
        if not zone.outdoors and log is not None:
            drier = log.with_projection(projection_of(log, zone, shop.world.zone_info).dried_to(DRY_PCT))
            world = replace(shop.world, air={**shop.world.air, pk: drier})
            yield Idea(text=DRIER, values={"zone": zone.name}, problem=the_problem(replace(shop, world=world), now))


def _friday_evenings(person: Person, grid: Grid) -> Spans:
    """Four hours after the last ones of every Friday on which somebody works."""
    last: dict[int, int] = {}
    for _first, end in person.works:
        at = grid.moment(end)
        if at.weekday() == FRIDAY:
            last[at.toordinal()] = end
    return tuple((end, end + EXTRA_H * SLOTS_AN_HOUR) for end in last.values())


def _said(one: Help) -> HelpWords:
    return HelpWords(what=_(one.idea.text) % one.idea.values, brings=tuple(brings(one)))


def brings(one: Help) -> Iterator[str]:
    """What an idea would bring, and what it would cost, in words; of what stays as it is nothing is said."""
    if one.placed > 0:
        yield _placed(one.placed)
    late, done = round(one.late_days, 1), round(one.done_days, 1)
    days = {"late": number_format(abs(late), 1), "done": number_format(abs(done), 1)}
    if late:
        yield (_("%(late)s days of lateness less") if late > 0 else _("%(late)s days of lateness more")) % days
    if done > 0:
        yield _("boats done %(done)s days sooner, all together") % days
    elif done < 0:
        yield _("though boats done %(done)s days later, all together") % days


def _placed(steps: int) -> str:
    return ngettext("%(n)s step finds a place that has none", "%(n)s steps find a place that have none", steps) % {
        "n": steps
    }
