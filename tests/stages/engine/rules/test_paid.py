"""Paid: common practice, no published source."""

from dataclasses import replace

import pytest

from stages.engine.assess import assess
from stages.engine.replay import replay
from stages.engine.standing import newly_broken
from stages.engine.vocab import Gate
from stages.engine.work import Work
from tests.stages.engine.trade import NOW, a_line, a_route, a_stage, a_work, asking_to_finish, asking_to_start, refusals

FINAL, GO = a_stage("final"), a_stage("go", after=("final",), gates=frozenset({Gate.HAND_OVER}))
ROUTE = a_route(FINAL, GO)


def ready(owes: bool | None) -> Work:
    return replace(a_work(route=ROUTE, finished=["final"], started=["go"]), owes=owes)


def test_hand_over_waits_for_the_balance_and_the_shop_s_owner_may_let_it_go() -> None:
    finding = refusals(ready(True), asking_to_finish(GO))["paid"]
    assert not finding.safety
    assert "not paid" in str(finding.words)


@pytest.mark.parametrize("owes", [False, None])
def test_a_boat_that_is_paid_or_has_nothing_to_pay_goes(owes: bool | None) -> None:
    assert refusals(ready(owes), asking_to_finish(GO)) == {}


def test_nothing_but_hand_over_waits() -> None:
    assert "paid" not in refusals(ready(True), asking_to_finish(FINAL))
    assert "paid" not in refusals(ready(True), asking_to_start(GO))


@pytest.mark.parametrize(("owes", "said"), [(True, ["paid"]), (False, [])])
def test_the_step_says_that_it_waits_while_the_balance_is_open(owes: bool, said: list[str]) -> None:
    (status,) = (status for status in assess(ready(owes), NOW) if status.spec is GO)
    assert [finding.rule for finding in status.findings] == said
    assert status.hands is not owes


def test_a_hand_over_on_record_stands_when_a_payment_is_struck_later() -> None:
    log = (a_line(1, "arrived", -9), a_line(2, "finished", -8, "final"), a_line(3, "started", -7, "go"))
    gone = (*log, a_line(4, "finished", -6, "go"))
    work = replace(ready(True), state=replay(ROUTE, gone))
    assert list(newly_broken(work, log, gone)) == []
