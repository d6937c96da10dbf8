"""Shares of stations and hours, against counting slot by slot."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stages.planner.capacity import first_free, share_sat, share_taken
from stages.planner.problem import Person
from stages.planner.schedule import Schedule, Sitting
from tests.stages.planner.test_lanes import Stays, a_plan

STAYS = st.lists(st.tuples(st.integers(-5, 50), st.integers(1, 40)).map(lambda t: (t[0], t[0] + t[1], 1)), max_size=10)


def levels(stays: Stays) -> list[int]:
    """Places taken at each slot from zero on."""
    return [sum(n for a, b, n in stays if a <= slot < b) for slot in range(220)]


@given(STAYS, st.integers(1, 4), st.integers(0, 40), st.integers(1, 40))
def test_the_share_is_that_of_the_slots_one_by_one(stays: Stays, capacity: int, start: int, length: int) -> None:
    problem, plan = a_plan(stays, capacity)
    taken = sum(levels(stays)[start : start + length])
    assert share_taken(problem, plan, "bench", start, start + length) == pytest.approx(taken / (capacity * length))


@given(STAYS, st.integers(1, 3), st.integers(1, 20))
def test_the_first_free_place_is_the_first_found_by_looking_at_every_slot(
    stays: Stays, capacity: int, length: int
) -> None:
    problem, plan = a_plan(stays, capacity)
    level = levels(stays)
    first = next(slot for slot in range(200) if all(level[at] < capacity for at in range(slot, slot + length)))
    assert first_free(problem, plan, "bench", length) == first


def test_a_station_without_places_is_never_free() -> None:
    problem, plan = a_plan([], 0)
    assert first_free(problem, plan, "bench", 1) is None
    assert share_taken(problem, plan, "bench", 0, 10) == 0.0


def test_the_share_of_a_persons_hours_counts_their_hours_alone() -> None:
    problem, plan = a_plan([(0, 4, 1)], 1)
    ann = Person(key="ann", name="Ann", skills=frozenset(), works=((0, 8), (20, 28)))
    sat = Sitting(step="s0", number=1, start=4, end=8, person="ann")
    busy = Schedule(placed=(replace(plan.placed[0], sittings=(sat,)),))
    with_ann = replace(problem, people=(ann,))
    assert share_sat(with_ann, busy, "ann", 0, 10) == 0.5
    assert share_sat(with_ann, busy, "ann", 0, 28) == 0.25
    assert share_sat(with_ann, busy, "ann", 10, 20) is None
