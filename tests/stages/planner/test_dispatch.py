"""Replays: without noise they are the plan; with it work goes on as it becomes ready, and no median strays."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings

from stages.bench.forecasts import known_before
from stages.bench.shops import invented_shop
from stages.planner import noise as noises
from stages.planner.ahead import Days
from stages.planner.arrays import Arrays
from stages.planner.compare import finishes as planned_finishes
from stages.planner.decode import decode
from stages.planner.dispatch import replay
from stages.planner.forecast import finishes
from stages.planner.listplan import list_plan
from stages.planner.noise import QUIET, Noise
from stages.planner.problem import Begun, Held, Job, Link, Person, Problem, Resource, Since, Step, Use
from stages.planner.replay_of import replay_of
from stages.planner.replay_state import Replay
from stages.planner.screen import screen
from stages.planner.timegrid import SLOTS_A_DAY
from tests.stages.planner.problems import problems

OF_A_DAY = (32, 64)  # eight to four
WORKS = tuple((day * SLOTS_A_DAY + OF_A_DAY[0], day * SLOTS_A_DAY + OF_A_DAY[1]) for day in range(14))


def hand(key: str = "asa", skills: tuple[str, ...] = ("wood",)) -> Person:
    return Person(key=key, name=key, skills=frozenset(skills), works=WORKS)


def a_problem(steps: list[Step], links: list[Link] | None = None, **more: object) -> Problem:
    jobs = tuple(Job(key=key, due=0) for key in dict.fromkeys(step.job for step in steps))
    rest = {"people": (hand(),), "horizon": 14 * SLOTS_A_DAY, **more}
    return Problem(jobs=jobs, steps=tuple(steps), links=tuple(links or ()), **rest)  # type: ignore[arg-type]


def replayed(problem: Problem, slower: dict[str, float], damper: dict[str, float] | None = None) -> Replay:
    """The list plan, replayed once with these factors on hands-on and dry times; starts and ends by step."""
    plan, days = list_plan(problem), Days.of(problem, QUIET)
    state = replay_of(problem, Arrays.of(problem), plan, days)
    slow, damp = (np.array([of.get(step.key, 1.0) for step in problem.steps]) for of in (slower, damper or {}))
    replay(state, slow, damp, days.planned)
    return state


def test_what_takes_longer_than_the_day_goes_on_in_the_morning() -> None:
    """Seven hours that become ten: eight on the first day, two on the second."""
    state = replayed(a_problem([Step(key="a", job="b", sittings=(28,), skill="wood")]), {"a": 40 / 28})
    assert state.steps["end"].tolist() == [SLOTS_A_DAY + OF_A_DAY[0] + 8]


def test_what_is_over_sooner_lets_the_next_begin_sooner() -> None:
    steps = [Step(key=key, job="b", sittings=(12,), skill="wood") for key in "ab"]
    state = replayed(a_problem(steps, [Link(before="a", after="b")]), {"a": 0.5})
    assert state.steps["start"].tolist() == [OF_A_DAY[0], OF_A_DAY[0] + 6]


def test_a_later_boat_fills_the_gap_while_an_earlier_one_dries_longer() -> None:
    first = [
        Step(key="a", job="b1", sittings=(4,), skill="wood", dry=4),
        Step(key="c", job="b1", sittings=(4,), skill="wood"),
    ]
    other = Step(key="d", job="b2", sittings=(16,), skill="wood")
    problem = a_problem([*first, other], [Link(before="a", after="c")])
    planned = {one.step: one.start for one in list_plan(problem).placed}
    assert planned["c"] < planned["d"]
    state = replayed(problem, {}, {"a": 4.0})
    assert state.steps["start"][2] < state.steps["start"][1]


def test_a_missed_window_costs_a_sanding() -> None:
    steps = [Step(key=key, job="b", sittings=(4,), skill="wood", dry=8) for key in "ab"]
    window = Link(before="a", after="b", since=Since.HANDS, least=None, most=10, sanding=3)
    problem = a_problem(steps, [Link(before="a", after="b"), window])
    assert replayed(problem, {}).steps["end"][1] == OF_A_DAY[0] + 4 + 8 + 4
    assert replayed(problem, {}, {"a": 1.5}).steps["end"][1] == OF_A_DAY[0] + 4 + 12 + 3 + 4


def test_a_hull_that_finds_the_rack_full_keeps_its_place() -> None:
    """The first dries for longer than thought: the second stays on the frame, and the third waits for that."""
    frame, rack = Use(resource="frame"), Use(resource="rack", held=Held.DRYING)
    first = Step(key="a", job="a", sittings=(4,), skill="wood", dry=4, uses=(frame, rack))
    second = Step(key="b", job="b", sittings=(4,), skill="wood", dry=20, uses=(frame, rack))
    third = Step(key="c", job="c", sittings=(4,), skill="wood", uses=(frame,))
    links = [Link(before="a", after="b", since=Since.HANDS), Link(before="b", after="c", since=Since.HANDS)]
    places = (Resource(key="frame", title="frame", capacity=1), Resource(key="rack", title="rack", capacity=1))
    problem = a_problem([first, second, third], links, resources=places)
    assert replayed(problem, {}).steps["start"][2] == OF_A_DAY[0] + 8
    assert replayed(problem, {}, {"a": 3.0}).steps["start"][2] == OF_A_DAY[0] + 4 + 12


def test_what_is_under_way_keeps_its_hands_and_only_its_rest_is_uncertain() -> None:
    begun = Step(key="a", job="b", sittings=(12,), skill="wood", begun=(Begun(start=-4, person="asa"),))
    works = ((-8, 24), *WORKS[1:])
    problem = a_problem([begun], people=(replace(hand(), works=works),))
    assert replayed(problem, {"a": 1.5}).steps["end"].tolist() == [12]


@pytest.mark.parametrize("boats", [10, 25, 60])
def test_without_noise_it_is_the_plan(boats: int) -> None:
    problem = invented_shop(boats, 1)
    plan = list_plan(problem)
    state = replay_of(problem, Arrays.of(problem), plan, days := Days.of(problem, QUIET))
    still = np.ones(len(problem.steps))
    replay(state, still, still, days.planned)
    planned = [(plan.by_step[step.key].start, plan.by_step[step.key].ready) for step in problem.steps]
    assert list(zip(state.steps["start"].tolist(), state.steps["ready"].tolist(), strict=True)) == planned


@settings(suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow], deadline=None)
@given(problem=problems())
def test_without_noise_any_plan_is_replayed_as_it_is(problem: Problem) -> None:
    problem = screen(problem).problem
    assume(problem.steps)
    plan = list_plan(problem)
    assume(plan.placed)
    told = {key: slot for key, slot in planned_finishes(problem, plan).items() if slot is not None}
    replays = finishes(problem, plan, QUIET, samples=1, seed=0)
    assert {key: int(row[0]) for key, row in replays.items() if key in told} == told


@settings(suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow], deadline=None)
@given(problem=problems(facts=False))
def test_no_noise_breaks_the_shop_s_rules(problem: Problem) -> None:
    """Nobody does two things at once or works at night, no place holds more than it can, no coat goes on too early."""
    problem = screen(problem).problem
    assume(problem.steps)
    plan = list_plan(problem)
    assume(plan.placed)
    state = replay_of(problem, Arrays.of(problem), plan, days := Days.of(problem, QUIET))
    draw = np.random.default_rng(1)
    slow, damp = np.exp(0.5 * draw.standard_normal((2, len(problem.steps))))
    replay(state, slow, damp, days.planned)
    done = {step.key: row for step, row in zip(problem.steps, state.steps, strict=True) if row["stage"] == 3}
    for link in problem.links:
        if link.least is not None and link.after in done and link.before in done:
            moment = {Since.START: "coat", Since.HANDS: "end", Since.READY: "ready"}[link.since]
            assert done[link.after]["start"] >= done[link.before][moment] + link.least
    for resource in problem.resources:
        assert most_taken(problem, done, resource.key) <= resource.capacity


def most_taken(problem: Problem, done: dict[str, np.void], resource: str) -> int:
    """The most that steps took of a resource at once while their hands were on it or they dried there."""
    moments: list[tuple[int, int]] = []
    for step in problem.steps:
        for use in step.uses:
            if use.resource == resource and step.key in done and use.held is not Held.DRYING:
                row = done[step.key]
                until = row["end"] if use.held is Held.HANDS else row["ready"]
                moments += [(int(row["start"]), use.amount), (int(until), -use.amount)]
    return int(max(np.cumsum([amount for _, amount in sorted(moments)]), default=0))


@pytest.mark.parametrize("seed", [1, 2])
def test_its_medians_are_those_of_planning_anew_with_what_each_replay_brings(seed: int) -> None:
    """At 60 boats within 2 %: each replay's hours known before, and every step placed anew along the plan's order."""
    problem, noise, samples = invented_shop(60, seed), Noise(air_spread=0.0, coat_spread=0.0), 24
    plan = list_plan(problem)
    replays = finishes(problem, plan, noise, samples, seed=3)
    order = [one.step for one in sorted(plan.placed, key=lambda one: one.start)]
    anew = []
    for source in np.random.SeedSequence(3).spawn(samples):
        known = known_before(problem, noises.slow(problem, noise, np.random.default_rng(source)))
        anew.append(planned_finishes(known, decode(known, order)))
    boats = list(replays)
    reference = np.mean([np.median([one[key] for one in anew]) for key in boats])
    assert np.mean([np.median(replays[key]) for key in boats]) == pytest.approx(reference, rel=0.02)
