"""The drawn plan: what holds every place of every station, and who sits at what, over a day, a week or a month."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from itertools import chain, pairwise

from django.utils.translation import gettext as _

from hulls.models import Hull
from shop.models import Station
from stages.models import HullWork
from stages.pictures.plan import PlanGroup, PlanPicture, PlanRow, Stretch, draw_plan, joined
from stages.pictures.timeline import Timeline
from stages.planner.lanes import lanes
from stages.planner.problem import Held, Resource, Step
from stages.planner.schedule import Placed
from stages.planner.verify import held
from stages.planner.whatif import merged
from stages.queries.plans import HeldPlan
from stages.saying import when

UNKNOWN_COLOUR = "#94794b"
Place = tuple[Station, int]
JOINED_S = 20 * 3600.0  # over a month, two sittings at one boat with no more than a night between are one bar


class Zoom(StrEnum):
    """How much of the plan is shown."""

    DAY = "day"
    WEEK = "week"
    MONTH = "month"

    @property
    def days(self) -> int:
        """How many days that is."""
        return {Zoom.DAY: 1, Zoom.WEEK: 7, Zoom.MONTH: 35}[self]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What of the plan is looked at: how much, from which day on, and the boat that is lit."""

    zoom: Zoom
    first: date
    boat: str = ""

    @property
    def last(self) -> date:
        """The day after the last one."""
        return self.first + timedelta(days=self.zoom.days)


def chart(made: HeldPlan, seen: Seen, stations: Iterable[Station], now: datetime) -> PlanPicture:
    """Draw what is looked at, in two queries.

    Parameters
    ----------
    made : HeldPlan
        The plan.
    seen : Seen
        What of it.
    stations : iterable of Station
        The shop's stations, in its order.
    now : datetime
        The moment, aware.
    """
    zone = now.tzinfo
    assert zone is not None
    first, last = (datetime.combine(day, time(), zone) for day in (seen.first, seen.last))
    drawn = _Drawing(made, seen.zoom, now)
    groups = [*drawn.stations(stations), drawn.people()]
    return draw_plan(
        Timeline(first.timestamp(), last.timestamp()),
        [group for group in groups if group.rows],
        shut=drawn.shut() if seen.zoom is not Zoom.MONTH else (),
        now_s=now.timestamp(),
        zone=zone,
        lit=seen.boat,
    )


def _boats_on_places() -> dict[tuple[int | None, int | None], str]:
    """By station and place, the boat that stands there now."""
    rows = HullWork.objects.filter(station__isnull=False, place__isnull=False)
    return {(station, place): tag for station, place, tag in rows.values_list("station_id", "place", "hull__tag")}


def _title(station: Station, number: int) -> str:
    return f"{station} {number}" if station.places > 1 else str(station)


class _Drawing:
    """Turns a plan's slots into stretches of time with words and colours."""

    def __init__(self, made: HeldPlan, zoom: Zoom, now: datetime) -> None:
        self.made, self.zoom, self.now = made, zoom, now
        self.steps = {step.key: step for step in made.problem.steps}
        boats = Hull.objects.filter(tag__in=[job.key for job in made.problem.jobs])
        self.colours = dict(boats.values_list("tag", "colour"))

    def stations(self, stations: Iterable[Station]) -> list[PlanGroup]:
        """Each kind of station with its places, one after the other through the stations of that kind."""
        by_kind: dict[str, list[Place]] = defaultdict(list)
        for station in stations:
            by_kind[station.kind] += [(station, number) for number in range(1, station.places + 1)]
        resources = {resource.key: resource for resource in self.made.problem.resources}
        boats = _boats_on_places()
        return [self._station(resources[kind], on, boats) for kind, on in by_kind.items() if kind in resources]

    def _station(
        self, resource: Resource, places: Sequence[Place], boats: Mapping[tuple[int | None, int | None], str]
    ) -> PlanGroup:
        numbered = dict(enumerate(places, start=1))
        standing = {
            boats[station.pk, number]: lane
            for lane, (station, number) in numbered.items()
            if (station.pk, number) in boats
        }
        rows: dict[int, list[Stretch]] = {lane: [] for lane in numbered}
        for key, on in lanes(self.made.problem, self.made.schedule, resource.key, standing).items():
            for lane in on:
                rows.setdefault(lane, []).extend(self._stay(resource.key, key))
        titles = {lane: _title(*place) for lane, place in numbered.items()}
        drawn = [PlanRow(title=titles.get(n, _("no place")), stretches=self._seen(row)) for n, row in rows.items()]
        return PlanGroup(title=resource.title, rows=drawn)

    def _stay(self, resource: str, key: str) -> list[Stretch]:
        """A step on a place: how long it holds it, and when hands are at it there."""
        step, placed = self.steps[key], self.made.schedule.by_step[key]
        how = next(use.held for use in step.uses if use.resource == resource)
        sat = placed.sittings if how is not Held.DRYING else ()
        sittings = tuple((self._s(one.start), self._s(one.end)) for one in sat)
        return [replace(self._stretch(step, *held(placed, how)), stays=True, sittings=sittings)]

    def people(self) -> PlanGroup:
        """Everybody with what they sit at."""
        sat: dict[str, list[Stretch]] = {person.key: [] for person in self.made.problem.people}
        for placed in self.made.schedule.placed:
            for one in placed.sittings:
                if one.person is not None:
                    sat[one.person].append(self._stretch(self.steps[placed.step], one.start, one.end))
        rows = [PlanRow(title=p.name, stretches=self._seen(sat[p.key])) for p in self.made.problem.people]
        return PlanGroup(title=_("Hands"), rows=rows)

    def shut(self) -> list[tuple[float, float]]:
        """When nobody works."""
        works = merged(chain.from_iterable(person.works for person in self.made.problem.people))
        gaps = [(one[1], after[0]) for one, after in pairwise(works)]
        return [(self._s(a), self._s(b)) for a, b in gaps]

    def _seen(self, row: list[Stretch]) -> Sequence[Stretch]:
        return joined(row, JOINED_S) if self.zoom is Zoom.MONTH else row

    def _stretch(self, step: Step, start: int, end: int) -> Stretch:
        return Stretch(
            boat=step.job,
            start_s=self._s(start),
            end_s=self._s(end),
            colour=self.colours.get(step.job, UNKNOWN_COLOUR),
            says=self._says(step, self.made.schedule.by_step[step.key]),
        )

    def _says(self, step: Step, placed: Placed) -> str:
        """The step, and but for a month when hands are at it."""
        if self.zoom is Zoom.MONTH:
            return step.title
        start, end = (when(self.made.at(slot), self.now) for slot in (placed.start, placed.hands_end))
        return _("%(step)s, from %(start)s to %(end)s") % {"step": step.title, "start": start, "end": end}

    def _s(self, slot: int) -> float:
        return self.made.at(slot).timestamp()
