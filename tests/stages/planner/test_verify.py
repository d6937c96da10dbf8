"""A plan that holds has no breach, and every kind of fault has its own; each case is worked by hand."""

from dataclasses import replace

import pytest

from stages.planner.cost import cost_of
from stages.planner.problem import (
    Begun,
    Held,
    Hold,
    Job,
    Kept,
    Link,
    Person,
    Problem,
    Resource,
    Since,
    Step,
    Use,
    Weights,
)
from stages.planner.schedule import Cost, Left, Placed, Schedule, Sitting
from stages.planner.verify import verify

# Two boats in one finishing place; one person works slots 0-15 and 20-35. Boat a gets a primer (4 slots, 6 to dry) and
# an enamel (3 slots) within 8 slots of it, or else after 2 slots of sanding. Boat b is oiled on a dry day.
PROBLEM = Problem(
    horizon=60,
    people=(
        Person(key="ann", name="Ann", skills=frozenset({"finish"}), works=((0, 16), (20, 36))),
        Person(key="bo", name="Bo", skills=frozenset({"wood"}), works=((0, 36),)),
    ),
    resources=(Resource(key="room", title="Finishing room", capacity=1),),
    jobs=(Job(key="a", due=10, weight=2), Job(key="b", due=50, weight=1, flow=1)),
    steps=(
        Step(key="prime", job="a", sittings=(4,), skill="finish", dry=6, uses=(Use(resource="room", held=Held.READY),)),
        Step(key="enamel", job="a", sittings=(3,), skill="finish", uses=(Use(resource="room"),)),
        Step(
            key="oil",
            job="b",
            sittings=(2, 2),
            skill="finish",
            weather="dry",
            holds=(Hold(until=13, why="stores"),),
            uses=(Use(resource="room"),),
        ),
    ),
    links=(Link(before="prime", after="enamel", most=8, sanding=2),),
    weather={"dry": ((12, 40),)},
    kept=(Kept(step="oil", number=1, start=20),),
    weights=Weights(missed=8, makespan=1, shuffle=1),
)


def placed(step: str, *sittings: tuple[int, int, int], dry: int = 0, person: str | None = "ann") -> Placed:
    """A step by its sittings: number, start, end."""
    sat = tuple(Sitting(step=step, number=n, start=a, end=b, person=person) for n, a, b in sittings)
    return Placed(step=step, sittings=sat, start=sat[0].start, hands_end=sat[-1].end, ready=sat[-1].end + dry)


PRIME = placed("prime", (1, 0, 4), dry=6)
ENAMEL = placed("enamel", (1, 10, 13))
OIL = placed("oil", (1, 13, 15), (2, 20, 22))


def plan(*steps: Placed, problem: Problem = PROBLEM) -> Schedule:
    """A plan with its true cost."""
    return Schedule(placed=steps, cost=cost_of(problem, steps))


def kinds(schedule: Schedule, problem: Problem = PROBLEM) -> set[str]:
    """The kinds of breach of a plan."""
    return {breach.kind for breach in verify(problem, schedule)}


def test_a_plan_that_holds_has_no_breach() -> None:
    assert verify(PROBLEM, plan(PRIME, ENAMEL, OIL)) == ()


def test_the_cost_is_added_up_by_hand() -> None:
    # boat a is ready at 13, 3 slots late, weight 2; boat b at 22, flow 1; last at 22; oil kept at 20 is at 13
    assert cost_of(PROBLEM, (PRIME, ENAMEL, OIL)) == Cost(tardy=6, missed=0, flow=22, makespan=22, shuffle=7)


@pytest.mark.parametrize(
    ("kind", "steps"),
    [
        ("once", (PRIME, ENAMEL)),
        ("once", (PRIME, PRIME, ENAMEL, OIL)),
        ("unknown", (PRIME, ENAMEL, OIL, placed("sail", (1, 30, 31)))),
        ("sittings", (PRIME, ENAMEL, placed("oil", (2, 13, 15), (1, 20, 22)))),
        ("sittings", (PRIME, ENAMEL, placed("oil", (-1, 12, 13), (1, 13, 15), (2, 20, 22)))),
        ("sittings", (PRIME, placed("enamel", (0, 21, 22), (0, 22, 23), (1, 23, 26)), OIL)),
        ("sittings", (PRIME, ENAMEL, replace(OIL, sittings=placed("enamel", (1, 13, 15), (2, 20, 22)).sittings))),
        ("length", (PRIME, ENAMEL, placed("oil", (1, 13, 15), (2, 20, 23)))),
        ("sequence", (PRIME, ENAMEL, placed("oil", (1, 13, 15), (2, 14, 16)))),
        ("moments", (placed("prime", (1, 0, 4), dry=5), ENAMEL, OIL)),
        ("moments", (replace(PRIME, start=1), ENAMEL, OIL)),
        ("hold", (PRIME, placed("enamel", (1, 10, 12)), placed("oil", (1, 12, 14), (2, 20, 22)))),
        ("horizon", (PRIME, ENAMEL, placed("oil", (1, 60, 62), (2, 62, 64)))),
        ("weather", (PRIME, ENAMEL, placed("oil", (1, 34, 36), (2, 39, 41)))),
        ("person", (PRIME, ENAMEL, placed("oil", (1, 13, 15), (2, 20, 22), person="bo"))),
        ("person", (PRIME, ENAMEL, placed("oil", (1, 13, 15), (2, 20, 22), person=None))),
        ("calendar", (PRIME, ENAMEL, placed("oil", (1, 14, 16), (2, 19, 21)))),
        ("hands", (PRIME, ENAMEL, placed("oil", (1, 12, 14), (2, 20, 22)))),
        ("room", (PRIME, placed("enamel", (1, 10, 13)), placed("oil", (1, 9, 11), (2, 20, 22)))),
        ("least", (PRIME, placed("enamel", (1, 9, 12)), OIL)),
        ("sanding", (PRIME, placed("enamel", (1, 23, 26)), OIL)),
        ("sanding", (PRIME, placed("enamel", (0, 22, 23), (1, 23, 26)), OIL)),
        ("sanding", (PRIME, ENAMEL, placed("oil", (0, 13, 14), (1, 14, 16), (2, 20, 22)))),
    ],
)
def test_each_fault_is_a_breach_of_its_kind(kind: str, steps: tuple[Placed, ...]) -> None:
    known = [one for one in steps if one.step in {step.key for step in PROBLEM.steps}]
    assert kind in kinds(Schedule(placed=steps, cost=cost_of(PROBLEM, known)))


def test_a_missed_window_is_made_good_by_a_sanding() -> None:
    assert kinds(plan(PRIME, placed("enamel", (0, 22, 24), (1, 24, 27)), OIL)) == set()


@pytest.mark.parametrize(("start", "found"), [(18, set()), (19, {"most"})])
def test_a_hard_window_binds_to_the_slot(start: int, found: set[str]) -> None:
    hard = replace(PROBLEM, links=(Link(before="prime", after="enamel", most=8),))
    bare = replace(hard, people=tuple(replace(p, works=((0, 36),)) for p in PROBLEM.people))
    steps = (PRIME, placed("enamel", (1, start, start + 3)), placed("oil", (1, 23, 25), (2, 25, 27)))
    assert kinds(plan(*steps, problem=bare), bare) == found


def test_a_lag_may_count_from_the_start_or_from_the_hands() -> None:
    for since, first in ((Since.START, 0), (Since.HANDS, 4), (Since.READY, 10)):
        linked = replace(PROBLEM, links=(Link(before="prime", after="enamel", since=since, least=13 - first),))
        assert (
            kinds(plan(PRIME, placed("enamel", (1, 13, 16)), placed("oil", (1, 20, 22), (2, 22, 24))), linked) == set()
        )
        late = replace(PROBLEM, links=(Link(before="prime", after="enamel", since=since, least=14 - first),))
        assert "least" in kinds(plan(PRIME, placed("enamel", (1, 13, 16)), OIL), late)


def test_a_step_left_out_with_its_reason_is_no_breach_but_what_waits_for_it_must_be_left_out_too() -> None:
    left = (Left(step="prime", text="No.", values={}),)
    steps = (ENAMEL, OIL)
    assert kinds(Schedule(placed=steps, left=left, cost=cost_of(PROBLEM, steps))) == {"before"}


def test_a_wrong_cost_is_a_breach() -> None:
    assert kinds(replace(plan(PRIME, ENAMEL, OIL), cost=Cost(tardy=1))) == {"cost"}


def test_what_is_under_way_breaks_nothing_but_nothing_new_may_be_laid_over_it() -> None:
    def held(key: str) -> Step:
        return Step(key=key, job="a", dry=9, since=-3, uses=(Use(resource="room", held=Held.READY),))

    facts = Problem(horizon=20, resources=PROBLEM.resources, jobs=PROBLEM.jobs, steps=(held("one"), held("two")))
    both = tuple(Placed(step=key, sittings=(), start=-3, hands_end=-3, ready=6) for key in ("one", "two"))
    assert kinds(plan(*both, problem=facts), facts) == set()
    more = replace(facts, steps=(*facts.steps, Step(key="new", job="b", sittings=(1,), uses=(Use(resource="room"),))))
    late = placed("new", (1, 6, 7), person=None)
    assert kinds(plan(*both, late, problem=more), more) == set()
    early = placed("new", (1, 5, 6), person=None)
    assert kinds(plan(*both, early, problem=more), more) == {"room"}


def test_a_sitting_under_way_is_not_moved() -> None:
    begun = replace(PROBLEM.steps[0], begun=(Begun(start=-2, person="ann"),), since=-2)
    problem = replace(PROBLEM, steps=(begun, *PROBLEM.steps[1:]))
    there = placed("prime", (1, -2, 2), dry=6)
    steps = (there, placed("enamel", (1, 8, 11)), OIL)
    assert kinds(plan(*steps, problem=problem), problem) == set()
    assert kinds(plan(PRIME, ENAMEL, OIL, problem=problem), problem) == {"begun", "moments"}


def test_one_pair_of_hands_that_is_said_to_be_at_two_steps_breaks_nothing_but_gets_nothing_new() -> None:
    here = tuple(Begun(start=-start, person="ann") for start in (4, 3))
    both = tuple(
        Step(key=key, job="a", sittings=(length,), skill="finish", begun=(begun,))
        for key, length, begun in (("one", 12, here[0]), ("two", 4, here[1]))
    )
    more = (*both, Step(key="new", job="b", sittings=(1,), skill="finish"))
    problem = Problem(horizon=20, people=PROBLEM.people, jobs=PROBLEM.jobs, steps=more)
    there = (placed("one", (1, -4, 8)), placed("two", (1, -3, 1)))
    assert kinds(plan(*there, placed("new", (1, 8, 9)), problem=problem), problem) == set()
    assert kinds(plan(*there, placed("new", (1, 7, 8)), problem=problem), problem) == {"hands"}


def test_what_is_left_out_is_of_the_problem() -> None:
    steps = (PRIME, ENAMEL, OIL)
    left = (Left(step="sail", text="No.", values={}),)
    assert kinds(Schedule(placed=steps, left=left, cost=cost_of(PROBLEM, steps))) == {"unknown"}
