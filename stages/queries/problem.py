"""The shop as a planning problem: every open stage of every hull in hand, people, places, weather and promises."""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from django.utils import timezone

from shop.models import StationKind as KindNames
from shop.working_hours import Calendars
from stages.engine.assess import StageStatus, assess
from stages.engine.earliest import OVER, earliest_starts
from stages.engine.products import Product
from stages.engine.route import StageSpec
from stages.engine.usage import coat_amount, rest_amount
from stages.engine.vocab import StationKind
from stages.engine.work import Work
from stages.engine.world import World
from stages.planner.fileformat import write_problem
from stages.planner.problem import Job, Kept, Person, Problem, Resource
from stages.planner.schedule import Schedule
from stages.planner.timegrid import SLOTS_A_DAY, Spans
from stages.queries import learnt_hours
from stages.queries.planned import PlannedNeed
from stages.queries.planning.approvals import Approvals, sent_papers
from stages.queries.planning.drying import Drying
from stages.queries.planning.grid import SLOT, Grid
from stages.queries.planning.ground import AIRING, OUTDOORS, Ground
from stages.queries.planning.hours import Hours
from stages.queries.planning.hull import HullSteps, hull_steps
from stages.queries.planning.people import Skills, planned_people
from stages.queries.planning.practice import FLOW, KEPT_DAYS, WEIGHT, WEIGHTS
from stages.queries.planning.standing import AtWork, one_place, sit_down
from stages.queries.planning.stores import Coats, holds_for_stores, lead_days
from stages.queries.planning.weather import dry_evenings, dry_spans, yard_weather
from stages.queries.work import InWork, in_work, rows_in_hand
from stages.queries.world import Around

SHORTEST_DAYS, LONGEST_DAYS = 120, 1200
DRYING_DAYS = 120  # that a boat dries and waits, its longest way through
SPARE = 1.5  # a plan is never as dense as its hours
Standing = tuple[InWork, tuple[StageStatus, ...]]


def the_problem(
    shop: Around,
    now: datetime,
    before: tuple[Problem, Schedule] | None = None,
    *,
    more: Sequence[InWork] = (),
) -> Problem:
    """The shop's planning problem, in a fixed number of queries.

    Parameters
    ----------
    shop : Around
        The shop.
    now : datetime
        The moment, aware.
    before : problem and schedule, optional
        The plan that holds: what it has in the next days is kept where it can be.
    more : sequence of InWork
        Boats that are not in the shop and are planned as if they were.
    """
    world, grid = shop.world, Grid.at(now, shop.world.zone_info)
    hulls = [(hull, assess(hull.work, now)) for hull in (*in_work(rows_in_hand(), world), *more)]
    calendars = Calendars.of(shop.setup.shop, grid.today, grid.today + timedelta(days=LONGEST_DAYS))
    skills = Skills.of_people(calendars.people)
    people = planned_people(calendars, skills, grid, LONGEST_DAYS)
    ground = _ground(shop, hulls, grid, now, people, skills)
    found = [hull_steps(ground, hull, statuses) for hull, statuses in hulls]
    for one in found:
        one_place(one)
    sit_down(found, _at_work(calendars, grid, now))
    steps = tuple(step for one in found for step in one.steps.values())
    days = _days(sum(step.labour for step in steps), people)
    weather = _weather(world, grid, days)
    problem = Problem(
        horizon=days * SLOTS_A_DAY,
        people=tuple(_until(person, days * SLOTS_A_DAY) for person in people),
        resources=tuple(_resources(world, found)),
        jobs=tuple(_job(hull, grid) for hull, _statuses in hulls),
        steps=steps,
        links=tuple(dict.fromkeys(link for one in found for link in one.links)),
        weather=weather,
        weights=WEIGHTS,
        start=grid.start,
    )
    return replace(problem, kept=tuple(_kept(problem, *before))) if before else problem


def digest_of(problem: Problem) -> str:
    """Tells two problems apart, whatever the plan before them was (SHA-256 of the problem as JSON)."""
    return hashlib.sha256(write_problem(replace(problem, kept=())).encode()).hexdigest()


def _ground(
    shop: Around, hulls: Sequence[Standing], grid: Grid, now: datetime, people: Sequence[Person], skills: Skills
) -> Ground:
    approvals = Approvals(sent=sent_papers(), answer_days=shop.setup.shop.answer_days, grid=grid, now=now)
    return Ground(
        grid=grid,
        drying=Drying(world=shop.world, grid=grid, now=now),
        hours=Hours(beliefs=learnt_hours.beliefs(), now=now),
        skills=skills,
        approvals=approvals,
        stores=holds_for_stores(_coats_to_come(hulls, now), shop.world, lead_days(), grid),
        longest=_longest(people),
        racks=any(station.places for station in shop.world.of_kind(StationKind.RACK)),
    )


def _longest(people: Sequence[Person]) -> dict[str, int]:
    """By skill, the longest piece of anybody's day."""
    longest: dict[str, int] = {}
    for person in people:
        piece = max((last - first for first, last in person.works), default=0)
        for skill in person.skills:
            longest[skill] = max(longest.get(skill, 0), piece)
    return {skill: piece for skill, piece in longest.items() if piece}


def _coats_to_come(hulls: Sequence[Standing], now: datetime) -> Iterable[tuple[Coats, PlannedNeed]]:
    for hull, statuses in hulls:
        work = hull.work
        starts = earliest_starts(work, statuses, now)
        for status in statuses:
            spec, on_hull = status.spec, status.record.coats_on
            product = work.product_for(spec) if spec.coats and status.state not in OVER else None
            if product is None or not product.counted:
                continue
            on = timezone.localtime(starts[spec.key], work.world.zone_info).date()
            for number, amount in enumerate(_amounts(work, product, spec), start=on_hull + 1):
                need = PlannedNeed(product=product.id, amount=amount, on=on, tag=work.tag, step=spec.name)
                yield (work.tag, spec.key, number), need


def _amounts(work: Work, product: Product, spec: StageSpec) -> list[float]:
    """What each coat of a stage takes that is not on yet; nothing where nobody knows."""
    left = spec.coats - work.state.stage(spec.key).coats_on
    first, rest = coat_amount(work, product, spec), rest_amount(work, product, spec)
    if left <= 0 or first is None or rest is None:
        return []
    return [first, *[(rest - first) / (left - 1)] * (left - 1)] if left > 1 else [first]


def _days(labour: int, people: Sequence[Person]) -> int:
    """How far to look ahead: what all hands need for all work, and what a boat waits and dries, with room to spare."""
    a_day = sum(last - first for person in people for first, last in person.works) / LONGEST_DAYS
    work_days = labour / a_day if a_day else 0.0
    return min(LONGEST_DAYS, max(SHORTEST_DAYS, round(SPARE * (work_days + DRYING_DAYS))))


def _until(person: Person, horizon: int) -> Person:
    return replace(person, works=tuple((first, min(last, horizon)) for first, last in person.works if first < horizon))


def _weather(world: World, grid: Grid, days: int) -> dict[str, Spans]:
    record = yard_weather(world, grid)
    return {OUTDOORS: dry_spans(record, grid, days), AIRING: dry_evenings(record, grid, days)}


def _resources(world: World, found: Iterable[HullSteps]) -> Iterable[Resource]:
    """The places of each kind of station, also of kinds that the shop lacks and somebody needs."""
    needed = {use.resource for one in found for step in one.steps.values() for use in step.uses}
    for kind in StationKind:
        places = sum(station.places for station in world.of_kind(kind))
        if places or str(kind) in needed:
            yield Resource(key=str(kind), title=str(KindNames(kind).label), capacity=places)


def _job(hull: InWork, grid: Grid) -> Job:
    row = hull.hull
    due = grid.end_of(row.promised_on) if row.promised_on else None
    return Job(key=row.tag, title=row.tag, due=due, weight=WEIGHT[row.priority], flow=FLOW)


def _at_work(calendars: Calendars, grid: Grid, now: datetime) -> dict[int, AtWork]:
    """Who is in the shop just now."""
    found: dict[int, AtWork] = {}
    for person in calendars.people:
        for since, until in calendars.hours_on(person.pk, grid.today):
            opens, closes = grid.clock(grid.today, since), grid.clock(grid.today, until)
            if opens <= now < closes and grid.before(closes) > 0:
                found[person.pk] = AtWork(since=min(0, grid.after(opens)), until=grid.before(closes))
    return found


def _kept(problem: Problem, old: Problem, plan: Schedule) -> Iterable[Kept]:
    """What the plan before had in the next days."""
    if problem.start is None or old.start is None:
        return
    shift = round((old.start - problem.start) / SLOT)
    steps = {step.key: step for step in problem.steps}
    for placed in plan.placed:
        step = steps.get(placed.step)
        for sitting in placed.sittings if step else ():
            start = sitting.start + shift
            numbered = step is not None and len(step.begun) < sitting.number <= len(step.sittings)
            if numbered and 0 <= start < KEPT_DAYS * SLOTS_A_DAY:
                yield Kept(step=placed.step, number=sitting.number, start=start)
