"""Problems and plans as JSON: read as they were written, and refused by the place of the fault."""

import json
from datetime import UTC, datetime

import pytest
from hypothesis import given

from stages.planner.errors import PlannerError
from stages.planner.fileformat import carries_plan, read_plan, read_problem, text_of, write_plan, write_problem
from stages.planner.problem import Problem
from stages.planner.schedule import Cost, Left, Placed, Schedule, Sitting
from tests.stages.planner.problems import problems

SMALL = {
    "ribband": "problem",
    "version": 1,
    "horizon": 40,
    "start": "2026-05-04T06:00:00+00:00",
    "people": [{"key": "ann", "name": "Ann", "skills": ["wood"], "works": [[0, 16]]}],
    "jobs": [{"key": "H-1", "due": 30}],
    "steps": [
        {"key": "ribs", "job": "H-1", "sittings": [4, 4], "skill": "wood"},
        {"key": "fair", "job": "H-1", "sittings": [2], "skill": "wood"},
    ],
    "links": [{"before": "ribs", "after": "fair", "since": "hands", "most": 20, "sanding": 1}],
}
BENCH = {"resource": "bench"}
RACK = {"resource": "bench", "held": "ready"}


@given(problems())
def test_every_problem_is_read_as_it_was_written(problem: Problem) -> None:
    assert read_problem(write_problem(problem)) == problem


def test_a_plan_carries_its_problem() -> None:
    problem = read_problem(json.dumps(SMALL))
    assert problem.start == datetime(2026, 5, 4, 6, tzinfo=UTC)
    sittings = (Sitting(step="ribs", number=1, start=0, end=4, person="ann"),)
    placed = Placed(step="ribs", sittings=sittings, start=0, hands_end=4, ready=4)
    plan = Schedule(placed=(placed,), left=(Left(step="fair", text="Waits for %(before)s.", values={"before": "x"}),))
    assert read_plan(write_plan(problem, plan)) == (problem, plan)


@pytest.mark.parametrize(
    ("field", "wrong"),
    [
        ("file", "[]"),
        ("file", "{"),
        ("file", json.dumps({**SMALL, "version": 2})),
        ("file", json.dumps({**SMALL, "ribband": "plan"})),
        ("horizon", json.dumps({**SMALL, "horizon": "40"})),
        ("horizon", json.dumps({**SMALL, "horizon": 0})),
        ("horizon", json.dumps({key: value for key, value in SMALL.items() if key != "horizon"})),
        ("start", json.dumps({**SMALL, "start": "2026-05-04T06:00:00"})),
        ("start", json.dumps({**SMALL, "start": "May"})),
        ("colour", json.dumps({**SMALL, "colour": "green"})),
        ("people[0].works", json.dumps({**SMALL, "people": [{**SMALL["people"][0], "works": [[9, 3]]}]})),  # type: ignore[index]
        ("people[0].works[0]", json.dumps({**SMALL, "people": [{**SMALL["people"][0], "works": [[9]]}]})),  # type: ignore[index]
        ("links[0].since", json.dumps({**SMALL, "links": [{"before": "ribs", "after": "fair", "since": "dawn"}]})),
        ("links[0].since", json.dumps({**SMALL, "links": [{"before": "ribs", "after": "fair", "since": ["hands"]}]})),
        ("horizon", json.dumps({**SMALL, "horizon": 10**12})),
        ("jobs[0].weight", json.dumps({**SMALL, "jobs": [{"key": "H-1", "weight": 10**30}]})),
        ("jobs[0].due", json.dumps({**SMALL, "jobs": [{"key": "H-1", "due": -(10**30)}]})),
        ("steps[0].dry", json.dumps({**SMALL, "steps": [{"key": "a", "job": "H-1", "dry": 10**9}]})),
        ("weights.missed", json.dumps({**SMALL, "weights": {"missed": -1}})),
        ("start", json.dumps({**SMALL, "start": "9999-12-30T00:00:00+00:00"})),
        ("file", '{"ribband": "problem", "horizon": ' + "9" * 5000 + "}"),
        ("steps[0].uses", json.dumps({**SMALL, "steps": [{"key": "a", "job": "H-1", "uses": [BENCH, BENCH]}]})),
        ("steps[0].uses", json.dumps({**SMALL, "steps": [{"key": "a", "job": "H-1", "uses": [BENCH, RACK]}]})),
        ("before", json.dumps({**SMALL, "links": [{"before": "sails", "after": "fair"}]})),
        ("steps", json.dumps({**SMALL, "steps": [*SMALL["steps"], SMALL["steps"][0]]})),  # type: ignore[index,misc]
        ("file", "[" * 100_000),
        ("horizon", '{"ribband": "problem", "version": 1, "horizon": 40, "horizon": 5}'),
    ],
)
def test_what_is_no_problem_is_refused_by_the_place_of_the_fault(field: str, wrong: str) -> None:
    with pytest.raises(PlannerError) as caught:
        read_problem(wrong)
    assert caught.value.field == field
    assert caught.value.message


def test_a_file_is_utf_8_with_the_mark_of_some_editors_or_without() -> None:
    assert text_of("Åse".encode()) == text_of("Åse".encode("utf-8-sig")) == "Åse"
    for other in ("utf-16", "latin-1"):
        with pytest.raises(PlannerError, match="UTF-8"):
            text_of("Åse".encode(other))


def test_a_reason_that_cannot_be_said_is_refused() -> None:
    problem = read_problem(json.dumps(SMALL))
    left = tuple(Left(step=step.key, text="Waits for %(before)s.", values={}) for step in problem.steps)
    with pytest.raises(PlannerError) as refused:
        read_plan(write_plan(problem, Schedule(placed=(), left=left)))
    assert refused.value.field == "left[0].text"


def test_a_plan_may_cost_more_than_any_number_of_its_problem() -> None:
    problem = read_problem(json.dumps(SMALL))
    plan = Schedule(placed=(), cost=Cost(tardy=10**12))
    assert read_plan(write_plan(problem, plan)) == (problem, plan)


@pytest.mark.parametrize("text", ["[" * 100_000, "9" * 5000, "[]", "{", write_problem(Problem(horizon=1))])
def test_what_carries_no_plan_is_told(text: str) -> None:
    assert not carries_plan(text)
