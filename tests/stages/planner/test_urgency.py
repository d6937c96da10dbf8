"""The fitted rule against the published index, written out here once more."""

import math
from random import Random

import pytest

from stages.bench.shops import invented_shop
from stages.planner.arrays import UNBOUNDED, Arrays
from stages.planner.decode import order_by
from stages.planner.listplan import best_rule
from stages.planner.problem import Job, Person, Problem, Step
from stages.planner.serial import run
from stages.planner.state import State
from stages.planner.urgency import FIRST, LAST, LOOKS, TRIES, Fitting

LENGTHS, DUES, WEIGHTS = (13, 9, 12, 10, 4), (6, 18, 40, 11, 70), (2, 4, 9, 5, 1)


def one_machine() -> Problem:
    asa = Person(key="asa", name="Asa", skills=frozenset({"hands"}), works=((0, 100),))  # never away: no night between
    return Problem(
        horizon=100,
        people=(asa,),
        resources=(),
        jobs=tuple(Job(key=str(at), due=DUES[at], weight=WEIGHTS[at]) for at in range(len(LENGTHS))),
        steps=tuple(
            Step(key=str(at), job=str(at), sittings=(length,), skill="hands") for at, length in enumerate(LENGTHS)
        ),
    )


@pytest.mark.parametrize("number", range(LOOKS))
def test_the_first_rules_rank_by_apparent_urgency_at_growing_look_aheads(number: int) -> None:
    # Vepsalainen and Morton 1987: the index of a job is w/p exp(-max(0, d - t - p) / (k mean p)), here at t = 0.
    look = FIRST * (LAST / FIRST) ** (number / (LOOKS - 1))
    mean = sum(LENGTHS) / len(LENGTHS)

    def index(at: int) -> float:
        slack = max(0, DUES[at] - LENGTHS[at])
        return WEIGHTS[at] / LENGTHS[at] * math.exp(-slack / (look * mean))

    fitting = Fitting(Arrays.of(one_machine()), Random(1))
    ranks = [fitting.rank() for _ in range(number + 1)][-1]
    assert sorted(range(5), key=lambda at: ranks[at]) == sorted(range(5), key=index, reverse=True)


def test_the_look_ahead_decides_who_goes_first() -> None:
    # 12 slots for weight 9 is worth most, but it has time until 40: only who looks far ahead takes it first.
    fitting = Fitting(Arrays.of(one_machine()), Random(1))
    firsts = [fitting.rank().argmin() for _ in range(LOOKS)]
    assert (firsts[0], firsts[-1]) == (3, 2)


@pytest.mark.filterwarnings("error")
def test_where_there_is_nothing_to_do_there_is_nothing_to_rank() -> None:
    assert len(Fitting(Arrays.of(Problem(horizon=1)), Random(1)).rank()) == 0


def test_it_ends_and_what_it_learnt_beats_the_best_unfitted_rule_in_a_full_shop() -> None:
    arrays = Arrays.of(invented_shop(25, 2))
    fitting, state, costs = Fitting(arrays, Random(1)), State.of(arrays), []
    while fitting.goes_on:
        order = order_by(arrays, fitting.rank(), chained=True)
        costs.append(run(arrays, state, order, arrays.lengths, arrays.dries, UNBOUNDED))
        fitting.learn(costs[-1])
    assert len(costs) == LOOKS + TRIES
    assert min(costs) < best_rule(arrays).cost
