"""Rags. Fire-safety practice for rags wet with drying oil, as tip sheets on oily rags publish it."""

import pytest

from stages.engine.findings import Ask
from stages.engine.route import When
from stages.engine.state import StageRecord
from stages.engine.vocab import Action, Gate
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


@pytest.mark.parametrize("when", [When(), When(about="choice", name="filler", value="oil")])
def test_no_boat_leaves_while_rags_of_any_step_lie_about_in_its_plan_or_out_of_it(when: When) -> None:
    oil, final = a_stage("oil", when=when), a_stage("final", gates=frozenset({Gate.HAND_OVER}))
    started = {"oil": StageRecord(started_at=NOW, rags_due_since=NOW), "final": StageRecord(started_at=NOW)}
    ask = Ask(action=Action.FINISH, at=NOW, stage=final)
    found = refusals(a_work(route=a_route(oil, final), records=started), ask)
    assert set(found) == {"rags"}
    assert found["rags"].safety
    assert found["rags"].words.values["stage"] == "oil"
    seen_to = started | {"oil": StageRecord(started_at=NOW)}
    assert refusals(a_work(route=a_route(oil, final), records=seen_to), ask) == {}
