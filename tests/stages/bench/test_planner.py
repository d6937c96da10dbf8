"""What the planner is measured beside gets the time that it is said to have."""

from stages.bench.instances import job_shops
from stages.bench.planner import improved
from stages.planner.listplan import list_plan


def test_the_time_of_the_peer_runs_from_its_own_beginning() -> None:
    problem = job_shops("ta01")["ta01"].problem  # not proved by either within so few seconds
    first, *_ = improved(15, [problem], [2.0])
    assert first.theirs is not None
    assert first.theirs < list_plan(problem).cost.total
