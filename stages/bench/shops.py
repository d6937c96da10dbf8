"""Invented shops to plan for: any number of boats, the same every time for the same seed.

Beta-distributed hours, filler that cures for 5 to 21 days on the rack, recoat windows of 72 hours, 35 % wet days,
three holidays, boats anywhere on their way, promises that are tight. Invented data: good for ranking methods, a gloomy
picture of any shop.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from random import Random

from stages.bench.shop_route import (
    BENCH,
    FRAME,
    HANDS,
    HULL,
    MILL,
    MILLING,
    OUT,
    RACK,
    ROOM,
    SKILLED,
    TRIM,
    WINDOW_H,
    YARD,
    Leg,
)
from stages.planner.problem import Begun, Held, Hold, Job, Link, Person, Problem, Resource, Since, Step, Use, Weights
from stages.planner.timegrid import SLOTS_A_DAY, SLOTS_AN_HOUR, Spans, cut

START = datetime(2025, 3, 5, 10, tzinfo=UTC)  # a Wednesday
NAMES = ("Asa", "Bram", "Cleo", "Dov", "Edda", "Finn")
WET = 0.35
SANDING = 2 * SLOTS_AN_HOUR
OPEN_H, CLOSE_H = 8, 16
DRY_DAY = "dry day"


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How many hands and places a shop of some number of boats has."""

    people: int
    skilled: int
    places: dict[str, int]


SIZES = {
    10: Size(people=2, skilled=1, places={YARD: 2, BENCH: 2, FRAME: 1, ROOM: 2, MILL: 1, RACK: 6}),
    25: Size(people=4, skilled=2, places={YARD: 2, BENCH: 4, FRAME: 1, ROOM: 3, MILL: 1, RACK: 10}),
    60: Size(people=6, skilled=3, places={YARD: 3, BENCH: 5, FRAME: 1, ROOM: 5, MILL: 1, RACK: 16}),
    200: Size(people=6, skilled=3, places={YARD: 3, BENCH: 5, FRAME: 1, ROOM: 5, MILL: 1, RACK: 20}),
}


def size_of(boats: int) -> Size:
    """The shop for so many boats: that of the smallest size that holds them."""
    return next((size for most, size in SIZES.items() if boats <= most), SIZES[200])


def invented_shop(boats: int, seed: int) -> Problem:
    """Make up a shop.

    Parameters
    ----------
    boats : int
        Boats in hand, one at least.
    seed : int
        The same number, the same shop.

    Returns
    -------
    Problem
        With people, places, weather, boats on their way, and promises.
    """
    random, size = Random(f"{boats} boats, {seed}"), size_of(boats)
    routes = [_boat(random, f"b{number:03}") for number in range(boats)]
    steps = [step for route, _ in routes for step in route]
    labour_days = sum(step.labour for step in steps) / (size.people * (CLOSE_H - OPEN_H) * SLOTS_AN_HOUR)
    load_days = 1.5 * labour_days  # weekends, days off and waiting
    days = int(1.8 * load_days) + 150
    away = {START.date() + timedelta(days=random.randrange(3, 90)) for _ in range(3)}
    return Problem(
        horizon=days * SLOTS_A_DAY,
        people=tuple(_person(random, number, size, days, away) for number in range(size.people)),
        resources=tuple(Resource(key=key, title=key, capacity=room) for key, room in size.places.items()),
        jobs=tuple(_job(random, route, links, load_days) for route, links in routes),
        steps=tuple(_facts(random, routes, size)),
        links=tuple(link for _, links in routes for link in links),
        weather={DRY_DAY: tuple(slots_of(day, 7, 19) for day in range(days) if random.random() >= WET)},
        weights=Weights(missed=2 * SLOTS_AN_HOUR, makespan=1),
        start=START,
    )


def slots_of(day: int, from_h: int, to_h: int) -> tuple[int, int]:
    """The slots of one day between two hours; day 0 is the one on which the plan begins, cut at its beginning."""
    midnight = day * SLOTS_A_DAY - START.hour * SLOTS_AN_HOUR
    return max(0, midnight + from_h * SLOTS_AN_HOUR), midnight + to_h * SLOTS_AN_HOUR


def _person(random: Random, number: int, size: Size, days: int, away: set[date]) -> Person:
    short = number == size.people - 1 and size.people > 2  # the last comes for four shorter days
    off = {START.date() + timedelta(days=random.randrange(1, days)) for _ in range(days // 25)} | away

    def works() -> Iterator[tuple[int, int]]:
        for day in range(days):
            on = START.date() + timedelta(days=day)
            if on.weekday() < (4 if short else 5) and on not in off:
                yield slots_of(day, OPEN_H + short, CLOSE_H - short)

    skills = {HANDS, SKILLED} if number < size.skilled else {HANDS}
    spans: Spans = tuple(works())
    return Person(key=f"p{number}", name=NAMES[number], skills=frozenset(skills), works=spans)


def _boat(random: Random, job: str) -> tuple[list[Step], list[Link]]:
    """What is still to be done on a boat that may be anywhere on its way, and what lies between."""
    progress = max(0.0, random.uniform(-0.9, 0.9))
    out = [_step(random, job, leg) for leg in OUT]
    steps: list[Step] = []
    links = [Link(before=before.key, after=after.key) for before, after in pairwise(out)]
    for branch in (HULL, TRIM, MILLING):
        legs = [leg for leg in branch if random.random() < leg.share]
        legs = legs[int(progress * len(legs)) :]
        made = [_step(random, job, leg) for leg in legs]
        for (before, after), leg in zip(pairwise(made), legs[1:], strict=True):
            links += _between(before, after, leg)
        links.append(Link(before=made[-1].key, after=out[0].key))
        steps += made
    return steps + out, links


def _step(random: Random, job: str, leg: Leg) -> Step:
    low, high = leg.hours
    hours = low + (high - low) * random.betavariate(2, 4)
    dry = round(random.uniform(*leg.dry_h) * SLOTS_AN_HOUR)
    uses = [Use(resource=leg.station, held=Held.HANDS if leg.on_rack or not dry else Held.READY)]
    if leg.on_rack:
        uses.append(Use(resource=RACK, held=Held.DRYING))
    return Step(
        key=f"{job} {leg.key}",
        job=job,
        title=leg.key,
        sittings=cut(hours * 60),
        skill=leg.skill,
        uses=tuple(uses),
        dry=dry,
        weather=DRY_DAY if leg.outdoor else None,
        kind=leg.key,
    )


def _between(before: Step, after: Step, leg: Leg) -> Iterator[Link]:
    yield Link(before=before.key, after=after.key)
    if leg.window:
        most = WINDOW_H * SLOTS_AN_HOUR
        yield Link(before=before.key, after=after.key, since=Since.HANDS, least=None, most=most, sanding=SANDING)


def _job(random: Random, steps: list[Step], links: list[Link], load_days: float) -> Job:
    """Promised after its own longest chain, at a day's pace, and a share of the load before it."""
    slots = chain_slots(steps, links) * random.uniform(1.1, 1.5) + random.uniform(0, 0.8) * load_days * SLOTS_A_DAY
    return Job(key=steps[0].job, title=steps[0].job, due=round(slots), weight=random.choice((1, 1, 2, 3)))


def chain_slots(steps: list[Step], links: list[Link]) -> int:
    """The longest chain of a boat, slots: a third of each day is worked, what dries does so day and night."""
    takes = {step.key: 3 * step.labour + step.dry for step in steps}
    before = {step.key: [link.before for link in links if link.after == step.key] for step in steps}

    def ready(key: str) -> int:
        return takes[key] + max((ready(one) for one in before[key]), default=0)

    return max(ready(step.key) for step in steps)


def _facts(random: Random, routes: list[tuple[list[Step], list[Link]]], size: Size) -> Iterator[Step]:
    """What is under way, within the places and hands there are, and boats that are not here yet."""
    free, hands = dict(size.places), list(range(size.people))
    for steps, links in routes:
        first = {step.key for step in steps} - {link.after for link in links}
        coming = random.random() < 0.25
        arrives = random.randrange(1, 40) * SLOTS_A_DAY
        for step in steps:
            if step.key not in first:
                yield step
            elif coming:
                yield replace(step, holds=(Hold(until=arrives, why="arrival"),))
            else:
                able = [number for number in hands if step.skill == HANDS or number < size.skilled]
                yield _under_way(random, step, free, hands, able)


def _under_way(random: Random, step: Step, free: dict[str, int], hands: list[int], able: list[int]) -> Step:
    if random.random() < 0.5 or not able or any(free[use.resource] < 1 for use in step.uses):
        return step
    for use in step.uses:
        free[use.resource] -= 1
    started = -random.randrange(1, 8)
    if random.random() < 0.5:
        return replace(step, since=started * SLOTS_AN_HOUR)
    number = random.choice(able)
    hands.remove(number)
    return replace(step, begun=(Begun(start=max(started, 1 - step.sittings[0]), person=f"p{number}"),))
