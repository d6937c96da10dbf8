"""Places by name: no two steps on one place at once, no more places than there are, each case also worked by hand."""

from collections import defaultdict
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from stages.planner.lanes import lanes
from stages.planner.problem import Held, Job, Problem, Resource, Step, Use
from stages.planner.schedule import Placed, Schedule

Stays = list[tuple[int, int, int]]


def a_plan(stays: Stays, capacity: int, boats: list[str] | None = None) -> tuple[Problem, Schedule]:
    """Steps that hold one bench from a start to an end, so many places at once."""
    boats = boats or [f"b{number}" for number in range(len(stays))]
    steps = tuple(
        Step(key=f"s{n}", job=boats[n], dry=end - start, uses=(Use(resource="bench", amount=amount, held=Held.READY),))
        for n, (start, end, amount) in enumerate(stays)
    )
    placed = tuple(
        Placed(step=f"s{n}", sittings=(), start=start, hands_end=start, ready=end)
        for n, (start, end, _) in enumerate(stays)
    )
    jobs = tuple(Job(key=key) for key in dict.fromkeys(boats))
    bench = Resource(key="bench", title="Bench", capacity=capacity)
    return Problem(horizon=200, resources=(bench,), jobs=jobs, steps=steps), Schedule(placed=placed)


def most_at_once(stays: Stays) -> int:
    """The most places taken at any slot, slot by slot."""
    return max((sum(n for a, b, n in stays if a <= slot < b) for slot in range(120)), default=0)


@given(
    st.lists(
        st.tuples(st.integers(0, 50), st.integers(1, 40), st.integers(1, 2)).map(lambda t: (t[0], t[0] + t[1], t[2])),
        max_size=14,
    )
)
def test_places_are_never_shared_and_never_more_than_are_taken_at_once(stays: Stays) -> None:
    capacity = most_at_once(stays)
    problem, plan = a_plan(stays, capacity)
    found = lanes(problem, plan, "bench")
    on: dict[int, Stays] = defaultdict(list)
    for number, (start, end, amount) in enumerate(stays):
        assert len(set(found[f"s{number}"])) == amount
        for place in found[f"s{number}"]:
            assert 1 <= place <= capacity
            on[place].append((start, end, amount))
    for held in on.values():
        assert all(one[1] <= after[0] for one, after in pairwise(sorted(held)))


def test_a_boat_keeps_the_place_on_which_it_stands() -> None:
    problem, plan = a_plan([(0, 5, 1), (0, 9, 1), (6, 12, 1)], 3, ["a", "b", "a"])
    assert lanes(problem, plan, "bench", {"a": 3, "b": 1}) == {"s0": (3,), "s1": (1,), "s2": (3,)}


def test_the_place_that_was_left_last_is_taken_so_that_another_stays_free() -> None:
    problem, plan = a_plan([(0, 2, 1), (0, 8, 1), (9, 12, 1)], 2)
    assert lanes(problem, plan, "bench")["s2"] == (2,)


def test_facts_that_overfill_a_station_stand_beyond_its_places() -> None:
    problem, plan = a_plan([(-3, 5, 1), (-2, 5, 1)], 1)
    assert lanes(problem, plan, "bench") == {"s0": (1,), "s1": (2,)}
