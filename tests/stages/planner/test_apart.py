"""Improving apart: plans stream back, and the best so far is kept when it is stopped, killed or never begins."""

import os
import signal
import subprocess
import sys
from threading import Event

import pytest

from stages.bench.shops import invented_shop
from stages.planner import apart
from stages.planner.effort import Effort, How
from stages.planner.listplan import list_plan
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.planner.verify import verify

ENDLESS = Effort(workers=2)


@pytest.fixture(scope="module")
def shop() -> Problem:
    """A shop with few boats."""
    return invented_shop(4, 2)


def test_better_plans_stream_back_and_the_last_of_them_is_the_answer(shop: Problem) -> None:
    told: list[Schedule] = []
    found = apart.improve(shop, Effort(rounds=4), on_better=told.append)
    assert found.how is How.ALL_ROUNDS
    assert found.schedule.cost == told[-1].cost
    assert verify(shop, found.schedule) == ()


def test_the_same_seed_and_rounds_give_the_same_plan_in_two_processes(shop: Problem) -> None:
    first, again = (apart.improve(shop, Effort(rounds=2, seed=5)).schedule for _ in range(2))
    assert first == again


def test_a_search_that_is_stopped_keeps_the_best_so_far(shop: Problem) -> None:
    told: list[Schedule] = []
    enough = Event()

    def on_better(schedule: Schedule) -> None:
        told.append(schedule)
        if len(told) == 2:
            enough.set()

    found = apart.improve(shop, ENDLESS, on_better=on_better, go_on=lambda: not enough.is_set())
    assert found.how is How.STOPPED
    assert found.schedule == told[-1]


def test_a_search_that_is_killed_keeps_the_best_so_far(shop: Problem, monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[subprocess.Popen[bytes]] = []
    begin = apart.begin

    def and_remember(*asked: object) -> subprocess.Popen[bytes]:
        started.append(begin(*asked))  # type: ignore[arg-type]
        return started[-1]

    monkeypatch.setattr(apart, "begin", and_remember)
    told: list[Schedule] = []

    def on_better(schedule: Schedule) -> None:
        told.append(schedule)
        if len(told) == 2:
            os.kill(started[0].pid, signal.SIGKILL)

    found = apart.improve(shop, ENDLESS, on_better=on_better)
    assert found.how is How.CRASHED
    assert found.schedule == told[-1]
    assert started[0].poll() is not None


def test_a_search_that_never_begins_answers_with_the_list_plan(shop: Problem, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", "/bin/false")
    found = apart.improve(shop, ENDLESS)
    assert found.how is How.CRASHED
    assert found.schedule == list_plan(shop)
