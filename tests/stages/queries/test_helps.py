"""What one thing more would bring is said in words: what it costs is not said to be a gain."""

import pytest

from stages.planner.problem import Problem
from stages.planner.whatif import Help, Idea
from stages.queries.helps import brings


@pytest.mark.parametrize(
    ("late", "done", "placed", "said"),
    [
        (9.2, 10.1, 0, ["9.2 days of lateness less", "boats done 10.1 days sooner, all together"]),
        (1.1, -1.2, 0, ["1.1 days of lateness less", "though boats done 1.2 days later, all together"]),
        (-0.04, 3.7, 0, ["boats done 3.7 days sooner, all together"]),
        (-2.0, 0.01, 3, ["3 steps find a place that have none", "2.0 days of lateness more"]),
    ],
)
def test_days_are_gained_or_lost(late: float, done: float, placed: int, said: list[str]) -> None:
    idea = Idea(text="One more place", problem=Problem(horizon=1))
    assert list(brings(Help(idea=idea, saved=1, late_days=late, done_days=done, placed=placed))) == said
