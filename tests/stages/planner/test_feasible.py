"""Whatever the problem, the list plan and the search keep every constraint, by the verifier that knows neither."""

import os
import subprocess
import sys
from pathlib import Path
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from stages.bench.shops import invented_shop
from stages.planner.decode import decode
from stages.planner.fileformat import write_plan, write_problem
from stages.planner.listplan import list_plan
from stages.planner.local import improve_order, price
from stages.planner.problem import Problem
from stages.planner.screen import screen
from stages.planner.verify import verify
from tests.stages.planner.problems import problems

COMPILING = settings(deadline=None)


@given(problem=problems(steps=12))
@COMPILING
def test_the_list_plan_keeps_every_constraint(problem: Problem) -> None:
    assert verify(problem, list_plan(problem)) == ()


@given(problem=problems(steps=8, hard=True))
@COMPILING
def test_the_list_plan_keeps_windows_that_cannot_be_missed(problem: Problem) -> None:
    assert verify(problem, list_plan(problem)) == ()


@given(problem=problems(steps=12, hard=True), shuffle=st.randoms(use_true_random=False))
@COMPILING
def test_any_order_gives_a_plan_and_the_same_order_the_same(problem: Problem, shuffle: Random) -> None:
    screened = screen(problem).problem
    order = [step.key for step in screened.steps]
    shuffle.shuffle(order)
    plan = decode(screened, order)
    assert verify(screened, plan) == ()
    assert decode(screened, order) == plan


@given(problem=problems(steps=12, hard=True), seed=st.integers(0, 99))
@COMPILING
def test_the_search_keeps_every_constraint_and_is_never_worse_than_its_start(problem: Problem, seed: int) -> None:
    screened = screen(problem).problem
    start = list_plan(screened)
    found = improve_order(screened, seed=seed, rounds=40, start=start)
    assert verify(screened, found.schedule) == ()
    assert price(found.schedule) <= price(start)
    assert improve_order(screened, seed=seed, rounds=40, start=start) == found


_WITHOUT = """
import sys
from stages.planner.fileformat import read_problem, write_plan
from stages.planner.local import improve_order
problem = read_problem(sys.stdin.read())
print(write_plan(problem, improve_order(problem, seed=3, rounds=60).schedule))
"""


def test_the_same_plan_comes_without_compiled_code() -> None:
    shop = invented_shop(3, 1)
    plan = write_plan(shop, improve_order(shop, seed=3, rounds=60).schedule)
    root = Path(__file__).parents[3]
    done = subprocess.run(
        [sys.executable, "-c", _WITHOUT],
        input=write_problem(shop),
        env=os.environ | {"NUMBA_DISABLE_JIT": "1"},
        cwd=root,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == plan.strip()
