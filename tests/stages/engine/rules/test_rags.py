"""Rags. Fire-safety practice for rags wet with drying oil, as tip sheets on oily rags publish it."""

import pytest

from stages.engine.findings import Ask
from stages.engine.state import StageRecord
from stages.engine.vocab import Action
from tests.stages.engine.trade import NOW, a_route, a_stage, a_work, refusals

OIL = a_stage("oil")


@pytest.mark.parametrize("action", [Action.FINISH, Action.LEAVE_OUT])
def test_a_step_is_not_left_behind_with_its_rags(action: Action) -> None:
    lying = {"oil": StageRecord(started_at=NOW, rags_due_since=NOW)}
    gone = {"oil": StageRecord(started_at=NOW)}
    ask = Ask(action=action, at=NOW, stage=OIL)
    found = refusals(a_work(route=a_route(OIL), records=lying), ask)
    assert set(found) == {"rags"}
    assert found["rags"].safety
    assert refusals(a_work(route=a_route(OIL), records=gone), ask) == {}
