"""What the search reckons from where two orders part is what the whole schedule costs."""

import numpy as np
import pytest

from stages.bench.shops import invented_shop
from stages.planner.arrays import UNBOUNDED, Arrays
from stages.planner.listplan import best_rule
from stages.planner.search import Search
from stages.planner.serial import run
from stages.planner.state import State
from stages.planner.walk import Walk


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_cost_of_the_best_order_is_that_of_its_schedule_built_from_the_beginning(seed: int) -> None:
    arrays = Arrays.of(invented_shop(6, seed))
    start = best_rule(arrays)
    search = Search(arrays, start.order, seed)
    for _ in range(300):
        search.round()
    again = run(arrays, State.of(arrays), search.best_order, arrays.lengths, arrays.dries, UNBOUNDED)
    assert search.best == again
    assert search.best <= start.cost
    assert sorted(search.best_order) == list(range(len(arrays.steps)))


def test_every_order_that_is_tried_costs_what_its_schedule_costs_and_lies_the_same() -> None:
    arrays = Arrays.of(invented_shop(6, 4))
    walk = Walk(arrays, best_rule(arrays).order)
    whole, random = State.of(arrays), np.random.default_rng(1)
    free = int(arrays.steps["fact"].sum())
    tried = 0
    while tried < 60:
        at = int(random.integers(free, len(walk.order) - 1))
        before, after = walk.order[at], walk.order[at + 1]
        if before in arrays.links["before"][arrays.links["after"] == after]:
            continue
        walk.next_order[:] = walk.order
        walk.next_order[[at, at + 1]] = after, before
        cost = walk.attempt(at, UNBOUNDED)
        assert cost == run(arrays, whole, walk.next_order, arrays.lengths, arrays.dries, UNBOUNDED)
        walk.accept()
        assert (walk.state.starts == whole.starts).all()
        assert (walk.state.places["ready"] == whole.places["ready"]).all()
        tried += 1
