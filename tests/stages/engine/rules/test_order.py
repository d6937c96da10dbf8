"""Order. Which step comes before which is common practice, no published source."""

from datetime import timedelta

import pytest

from stages.engine.findings import Ask
from stages.engine.route import When
from stages.engine.state import StageRecord
from stages.engine.vocab import Action, Damage
from stages.engine.work import Work
from tests.stages.engine.trade import (
    NOW,
    a_route,
    a_stage,
    a_work,
    asking_to_finish,
    asking_to_start,
    refusals,
)

FIRST = a_stage("strip")
MIDDLE = a_stage("fair", after=("strip",))
LAST = a_stage("oil", after=("fair",))
ROUTE = a_route(FIRST, MIDDLE, LAST)


def work(**more: object) -> Work:
    return a_work(route=ROUTE, **more)  # type: ignore[arg-type]


def test_a_step_starts_when_the_one_before_it_is_finished() -> None:
    assert refusals(work(finished=["strip"]), asking_to_start(MIDDLE)) == {}


def test_a_step_does_not_start_while_the_one_before_it_is_in_hand() -> None:
    found = refusals(work(started=["strip"]), asking_to_start(MIDDLE))
    assert set(found) == {"order"}
    assert str(found["order"].words) == "“strip” comes before “fair”."


def test_a_step_that_was_left_out_holds_nobody_up() -> None:
    left = {"strip": StageRecord(left_out="nothing to strip")}
    assert refusals(work(records=left), asking_to_start(MIDDLE)) == {}


def test_leaving_out_a_step_skips_none_before_it() -> None:
    left = {"fair": StageRecord(left_out="it is fair")}
    found = refusals(work(records=left), asking_to_start(LAST))
    assert str(found["order"].words) == "“strip” comes before “oil”."
    assert refusals(work(records=left, finished=["strip"]), asking_to_start(LAST)) == {}


def test_the_nearest_step_before_is_named() -> None:
    found = refusals(work(), asking_to_start(LAST))
    assert str(found["order"].words) == "“fair” comes before “oil”."


@pytest.mark.parametrize("action", [Action.FINISH, Action.COAT])
def test_work_in_hand_stops_when_a_step_before_it_opens_again(action: Action) -> None:
    again = {"strip": StageRecord(started_at=NOW - timedelta(days=9))}
    ask = Ask(action=action, at=NOW, stage=MIDDLE)
    assert "order" in refusals(work(started=["fair"], records=again), ask)
    assert "order" not in refusals(work(started=["fair"], finished=["strip"]), ask)


@pytest.mark.parametrize("action", [Action.FINISH, Action.COAT])
def test_nothing_is_done_on_a_step_before_its_start(action: Action) -> None:
    at_start = {"strip": StageRecord(started_at=NOW)}
    assert "order" in refusals(work(), Ask(action=action, at=NOW, stage=FIRST))
    assert "order" in refusals(work(records=at_start), Ask(action=action, at=NOW - timedelta(seconds=1), stage=FIRST))
    assert "order" not in refusals(work(records=at_start), Ask(action=action, at=NOW, stage=FIRST))


@pytest.mark.parametrize(
    "over", [StageRecord(started_at=NOW, finished_at=NOW), StageRecord(left_out="no"), StageRecord(started_at=NOW)]
)
def test_a_step_that_is_over_is_not_worked_on(over: StageRecord) -> None:
    is_over = bool(over.finished_at or over.left_out)
    assert ("order" in refusals(work(records={"strip": over}), asking_to_finish(FIRST))) is is_over


def test_a_step_that_is_not_in_the_plan_is_not_started() -> None:
    ribs = a_stage("ribs", when=When.parse("count:ribs"))
    route = a_route(ribs)
    assert set(refusals(a_work(route=route), asking_to_start(ribs))) == {"order"}
    assert refusals(a_work(route=route, counts={Damage.RIBS: 1}), asking_to_start(ribs)) == {}
