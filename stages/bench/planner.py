"""How good and how fast plans are: invented shops and public instances, each beside plain CP-SAT in the same run."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from statistics import mean, median
from time import perf_counter
from typing import NamedTuple

from stages.bench.instances import JobShop, job_shops
from stages.bench.outcome import Outcome
from stages.bench.plain import plain
from stages.bench.shops import invented_shop
from stages.planner.apart import improve
from stages.planner.effort import Effort
from stages.planner.listplan import list_plan
from stages.planner.local import improve_order
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.planner.solver import Asked
from stages.planner.urgency import LOOKS, TRIES
from stages.planner.verify import verify

WORKERS = 2
PEER = "plain CP-SAT, same start"
TAPS = 20
LOCAL_S = 1.0
LIST_MS = {10: 8, 25: 20, 60: 50, 200: 300}
BETTER = {25: 0.95, 60: 0.90, 200: 0.90}


class Set(NamedTuple):
    """Public instances of one kind: which, how long each, and what we want."""

    title: str
    pattern: str
    seconds: float
    aim: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What is measured: shops of how many boats, how many seeds of each, at which seconds, and which instances."""

    boats: Sequence[int] = (10, 25, 60)
    seeds: int = 1
    seconds: Sequence[float] = (5.0,)
    sets: Sequence[Set] = (Set("ft06, ft10, la01-la03", "ft06|ft10|la0[1-3]", 2.0, ""),)


QUICK = Choice()
LONG = Choice(
    boats=(10, 25, 60, 200),
    seeds=5,
    seconds=(10.0, 30.0),
    sets=(
        Set("ft06, ft10, ft20, la01-la40", r"ft\d\d|la\d\d", 5.0, ">= 35 and >= theirs"),
        Set("orb01-orb10", r"orb\d\d", 20.0, "10"),
        Set("ta01-ta30", r"ta(0[1-9]|[12]\d|30)", 30.0, ">= theirs"),
    ),
)


def measure(choice: Choice = QUICK) -> Iterator[Outcome]:
    """Measure the shops, then the public instances; each line as soon as it is known."""
    _warm()
    for boats in choice.boats:
        shops = [invented_shop(boats, seed) for seed in range(1, choice.seeds + 1)]
        yield from _at_once(boats, shops)
        yield _local(boats, shops)
        yield from improved(boats, shops, choice.seconds)
    for some in choice.sets:
        yield from _instances(some)


def _warm() -> None:
    """Compile what is compiled when it is first called."""
    improve_order(invented_shop(2, 1), seed=1, rounds=LOOKS + TRIES + 20)


def _took(work: Callable[[], object]) -> float:
    begun = perf_counter()
    work()
    return (perf_counter() - begun) * 1000


def _at_once(boats: int, shops: Sequence[Problem]) -> Iterator[Outcome]:
    ours = [median(_took(partial(list_plan, shop)) for _ in range(5)) for shop in shops]
    plans = [list_plan(shop) for shop in shops]
    theirs = [_took(partial(verify, *pair)) for pair in zip(shops, plans, strict=True)]
    yield _outcome(f"{boats} boats: list plan", "ms", ours, "verifying it", theirs, f"<= {LIST_MS.get(boats, '')}")
    taps = sorted(_took(partial(list_plan, tap)) for shop in shops for tap in _taps(shop))
    late = taps[int(0.95 * (len(taps) - 1))]
    yield Outcome(name=f"{boats} boats: after a tap, p95", unit="ms", ours=late, aim="< 150" if boats == 60 else "")


def _taps(shop: Problem) -> Iterator[Problem]:
    """The shop after one step more is begun, for a number of steps."""
    waits = {link.after for link in shop.links}
    first = [step.key for step in shop.steps if step.key not in waits and not step.begun and step.since is None]
    for key in first[:TAPS]:
        yield replace(
            shop, steps=tuple(replace(step, holds=(), since=0) if step.key == key else step for step in shop.steps)
        )


def _local(boats: int, shops: Sequence[Problem]) -> Outcome:
    ours, theirs = [], []
    for seed, shop in enumerate(shops, 1):
        ours.append(improve_order(shop, seed=seed, go_on=_for(LOCAL_S)).schedule.cost.total)
        theirs.append(list_plan(shop).cost.total)
    aim = "<= 0.85" if boats == 60 else "<= 1"
    return _outcome(f"{boats} boats: local search, 1 s", "cost", ours, "best rule", theirs, aim)


def _for(seconds: float) -> Callable[[], bool]:
    until = perf_counter() + seconds
    return lambda: perf_counter() < until


class Trace:
    """What plans cost, by when they were found; its time runs from when it is made."""

    def __init__(self, start: Schedule) -> None:
        self.begun, self.costs = perf_counter(), [(0.0, start.cost.total)]

    def __call__(self, schedule: Schedule) -> None:
        self.costs.append((perf_counter() - self.begun, schedule.cost.total))

    def at(self, seconds: float) -> int:
        """The least cost found by then."""
        return min(cost for when, cost in self.costs if when <= seconds)


def improved(boats: int, shops: Sequence[Problem], seconds: Sequence[float]) -> Iterator[Outcome]:
    """The improver and then plain CP-SAT, each with all of the time to itself."""
    ours, theirs, peaks = [], [], []
    for seed, shop in enumerate(shops, 1):
        start = list_plan(shop)
        mine = Trace(start)
        found = improve(shop, Effort(seconds=max(seconds), workers=WORKERS, seed=seed), start=start, on_better=mine)
        peer = Trace(start)
        plain(shop, start, Asked(seconds=max(seconds), workers=WORKERS, seed=seed), peer)
        peaks.append(found.peak_mib or 0.0)
        ours.append(mine)
        theirs.append(peer)
    for at in seconds:
        one, other = [trace.at(at) for trace in ours], [trace.at(at) for trace in theirs]
        aim = f"<= {BETTER.get(boats, 1)}"
        yield _outcome(f"{boats} boats: improver, {at:g} s", "cost", one, PEER, other, aim)
    yield Outcome(
        name=f"{boats} boats: peak memory", unit="MiB", ours=median(peaks), aim="< 250" if boats == 60 else ""
    )


def _outcome(name: str, unit: str, ours: Sequence[float], peer: str, theirs: Sequence[float], aim: str) -> Outcome:
    ratio = median(a / b if b else 1.0 for a, b in zip(ours, theirs, strict=True))
    return Outcome(name=name, unit=unit, ours=median(ours), peer=peer, theirs=median(theirs), ratio=ratio, aim=aim)


def _instances(some: Set) -> Iterator[Outcome]:
    """How many best known makespans are reached, and how far the others are from theirs."""
    found = [_both(job_shop, some.seconds) for job_shop in job_shops(some.pattern).values()]
    if not found:
        yield Outcome(name=f"{some.title}: not there (tests/data-requirements.txt)", unit="", ours=0)
        return
    reached = [sum(gap <= 0 for gap in gaps) for gaps in zip(*found, strict=True)]
    gaps = [100 * mean(gaps) for gaps in zip(*found, strict=True)]
    name = f"{some.title}, {some.seconds:g} s"
    yield Outcome(
        name=f"{name}: optima of {len(found)}", unit="", ours=reached[0], peer=PEER, theirs=reached[1], aim=some.aim
    )
    yield Outcome(name=f"{name}: mean gap", unit="%", ours=gaps[0], peer=PEER, theirs=gaps[1], aim="<= 3, <= theirs")


def _both(job_shop: JobShop, seconds: float) -> tuple[float, float]:
    """How far ours and the peer's makespans are above the best known one, as shares."""
    problem = job_shop.problem
    start = list_plan(problem)
    ours = improve(problem, Effort(seconds=seconds, workers=WORKERS), start=start).schedule
    theirs, _ = plain(problem, start, Asked(seconds=seconds, workers=WORKERS), lambda schedule: None)
    for plan in (ours, theirs):
        if verify(problem, plan):
            raise RuntimeError(f"The plan of {job_shop.name} does not hold.")
    return ours.cost.total / job_shop.best_known - 1, theirs.cost.total / job_shop.best_known - 1
