"""Approved: common practice, no published source."""

from dataclasses import replace
from typing import Any

import pytest

from stages.engine.assess import assess
from stages.engine.findings import Finding
from stages.engine.log import LogEntry
from stages.engine.replay import replay
from stages.engine.rules import judge
from stages.engine.standing import ask_of
from stages.engine.vocab import Gate, State
from stages.engine.work import Work
from tests.stages.engine.trade import NOW, a_line, a_route, a_stage, a_world

ROUTE = a_route(
    a_stage("survey", position=1),
    a_stage("agree", position=2, after=("survey",), gates=frozenset({Gate.APPROVED})),
    a_stage("ribs", position=3, after=("agree",)),
    a_stage("canvas", position=4, after=("agree",)),
)
SURVEYED = (a_line(1, "arrived", -9), a_line(2, "started", -8, "survey"), a_line(3, "finished", -7, "survey"))
BEGUN = (*SURVEYED, a_line(4, "started", -6, "agree"))


def sent(number: int, hour: float, label: str = "E-1", paper: str = "estimate", **more: Any) -> LogEntry:
    told = {"what": "sent", "label": label, "paper": paper, "version": 1, "digest": "d", **more}
    return a_line(number, "estimate", hour, **told)


def answered(number: int, hour: float, what: str, label: str = "E-1") -> LogEntry:
    return a_line(number, "estimate", hour, what=what, label=label)


def work_of(*log: LogEntry, first: bool = True) -> Work:
    world = replace(a_world(), estimates_first=first)
    return Work(tag="H-1", route=ROUTE, state=replay(ROUTE, log), world=world)


def said(work: Work, kind: str, stage: str) -> list[Finding]:
    ask = ask_of(work, a_line(99, kind, 0, stage))
    assert ask is not None
    return [finding for finding in judge(work, ask) if finding.rule == "approved"]


def state_of(work: Work, stage: str) -> State:
    return next(status.state for status in assess(work, NOW) if status.spec.key == stage)


@pytest.mark.parametrize("kind", ["finished", "left_out"])
def test_the_step_that_waits_for_the_estimate_is_not_passed_without_one(kind: str) -> None:
    (finding,) = said(work_of(*BEGUN), kind, "agree")
    assert finding.refuses
    assert not finding.safety, "the shop's owner may go ahead, with a reason"
    assert "No estimate was sent" in str(finding.words)


def test_where_work_need_not_wait_a_boat_without_an_estimate_goes_on() -> None:
    assert said(work_of(*BEGUN, first=False), "finished", "agree") == []


@pytest.mark.parametrize("first", [True, False])
def test_a_sent_estimate_stops_the_work_until_its_yes(first: bool) -> None:
    waiting = work_of(*BEGUN, sent(5, -5), first=first)
    assert "has not approved estimate E-1" in str(said(waiting, "finished", "agree")[0].words)
    assert state_of(waiting, "ribs") is State.WAITING


def test_the_yes_finishes_the_step_and_the_work_may_begin() -> None:
    agreed = work_of(*BEGUN, sent(5, -5), answered(6, -4, "approved"))
    assert state_of(agreed, "agree") is State.FINISHED
    assert state_of(agreed, "ribs") is State.READY


def test_the_yes_counts_also_where_nobody_had_started_the_step() -> None:
    agreed = work_of(*SURVEYED, sent(4, -5), answered(5, -4, "approved"))
    assert state_of(agreed, "agree") is State.FINISHED


def test_a_no_stops_the_work_and_a_new_version_asks_again() -> None:
    declined = (*BEGUN, sent(5, -5), answered(6, -4, "declined"))
    assert "declined estimate E-1" in str(said(work_of(*declined), "finished", "agree")[0].words)
    again = work_of(*declined, sent(7, -3, version=2))
    assert "has not approved" in str(said(again, "finished", "agree")[0].words)
    assert said(work_of(*declined, sent(7, -3, version=2), answered(8, -2, "approved")), "finished", "agree") == []


def test_a_withdrawn_estimate_is_as_if_none_was_sent() -> None:
    gone = work_of(*BEGUN, sent(5, -5), answered(6, -4, "withdrawn"))
    assert "No estimate was sent" in str(said(gone, "finished", "agree")[0].words)


AGREED = (*BEGUN, sent(5, -5), answered(6, -4, "approved"))
ORDER = sent(7, -3, "C-1", "change", stages=["ribs"])


@pytest.mark.parametrize("kind", ["started", "finished"])
def test_an_open_change_order_stops_the_step_that_it_touches_and_no_other(kind: str) -> None:
    found = work_of(*AGREED, ORDER)
    assert "change order C-1 has no answer yet" in str(said(found, kind, "ribs")[0].words)
    assert said(found, kind, "canvas") == []
    assert state_of(found, "canvas") is State.READY
    assert state_of(found, "ribs") is State.WAITING


@pytest.mark.parametrize("answer", ["approved", "declined", "withdrawn"])
def test_any_answer_to_a_change_order_lets_its_step_go_on(answer: str) -> None:
    assert state_of(work_of(*AGREED, ORDER, answered(8, -2, answer, "C-1")), "ribs") is State.READY


def test_a_step_that_a_change_order_stops_may_be_left_out() -> None:
    assert said(work_of(*AGREED, ORDER), "left_out", "ribs") == []


def finished(number: int, hour: float, **told: Any) -> LogEntry:
    return replace(a_line(number, "finished", hour, "agree"), details=told)


def test_hours_told_at_every_finish_add_up() -> None:
    line = finished(5, -5, hours=2.5)
    assert work_of(*BEGUN, line).state.stage("agree").hours == 2.5
    assert work_of(*BEGUN, line, finished(6, -4, hours=1.0)).state.stage("agree").hours == 3.5
    assert work_of(*BEGUN, finished(5, -5)).state.stage("agree").hours is None
