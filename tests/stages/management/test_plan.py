"""`manage.py plan`: the shop's plan, a file's, and whether a plan holds."""

import dataclasses
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from shop.jobs.run import claim, end, take_up
from shop.models import Job, Pulse, Station
from stages.models import Plan
from stages.planner.cost import cost_of
from stages.planner.fileformat import read_plan, write_problem
from stages.planner.verify import verify
from stages.services import replanning
from stages.services.planning import JOB, Made
from tests.factories import a_hull, a_shop, the_shop_owner

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _shop() -> None:
    a_shop()
    the_shop_owner()
    a_hull()


def plan(**options: object) -> str:
    """What the command says."""
    out = io.StringIO()
    call_command("plan", stdout=out, **options)
    return out.getvalue()


def test_it_plans_the_shop_and_keeps_the_plan() -> None:
    said = plan(seconds=0.0)
    assert said.startswith("H-1")
    assert Plan.objects.count() == 1


def test_while_the_shop_s_plan_is_made_in_the_background_it_makes_none_and_says_so() -> None:
    busy = take_up(name=JOB, key="busy", payload={})
    with pytest.raises(CommandError, match="Another plan of the shop is being made just now"):
        plan(seconds=0.0)
    assert not Plan.objects.exists()
    assert list(Job.objects.filter(name=JOB, state=Job.State.CLAIMED)) == [busy]
    end(busy)
    plan(seconds=0.0)
    assert Plan.objects.count() == 1
    assert not Job.objects.filter(name=JOB, state=Job.State.CLAIMED).exists()


def test_while_it_plans_the_background_waits_its_turn(monkeypatch: pytest.MonkeyPatch) -> None:
    beside: list[Made | None] = []

    def plan_of_while_a_job_comes(*args: Any, **options: Any) -> Made:
        monkeypatch.undo()
        Job.objects.filter(name=JOB, state=Job.State.WAITING).update(due_at=timezone.now())
        waiting = Job.objects.get(name=JOB, state=Job.State.WAITING)
        assert claim(waiting.key)
        beside.append(replanning.plan_again(now=timezone.now()))
        return replanning.plan_of(*args, **options)

    monkeypatch.setattr(replanning, "plan_of", plan_of_while_a_job_comes)
    plan(seconds=0.0)
    assert beside == [None]
    assert Plan.objects.count() == 1


def test_a_plan_that_comes_to_no_end_is_in_nobody_s_way(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*args: Any, **options: Any) -> Made:
        raise ZeroDivisionError

    monkeypatch.setattr(replanning, "plan_of", broken)
    with pytest.raises(ZeroDivisionError):
        plan(seconds=0.0)
    assert not Job.objects.filter(name=JOB, state=Job.State.CLAIMED).exists()


def test_as_json_it_carries_its_problem_and_is_checked_by_itself(tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_text(plan(seconds=0.0, json=True))
    assert verify(*read_plan(file.read_text())) == ()
    assert "keep every constraint; 0 left out" in plan(check=file)


def test_a_problem_is_planned_out_of_its_file_without_touching_the_shop(tmp_path: Path) -> None:
    problem, _schedule = read_plan(plan(seconds=0.0, json=True))
    Plan.objects.all().delete()
    file = tmp_path / "problem.json"
    file.write_text(write_problem(problem))
    made = read_plan(plan(problem=file, json=True))
    assert verify(*made) == ()
    assert not Plan.objects.exists()


def test_a_plan_that_breaks_a_constraint_is_refused_with_what_it_breaks(tmp_path: Path) -> None:
    value = json.loads(plan(seconds=0.0, json=True))
    first = next(placed for placed in value["placed"] if placed["step"] == "H-1/hand_over")
    for name in ("start", "hands_end", "ready"):
        first[name] -= 400
    for sitting in first["sittings"]:
        sitting["start"] -= 400
        sitting["end"] -= 400
    file = tmp_path / "plan.json"
    file.write_text(json.dumps(value))
    with pytest.raises(CommandError, match="H-1/final -> H-1/hand_over"):
        plan(check=file)


def a_plan_file(tmp_path: Path, change: Callable[[dict[str, Any]], object]) -> Path:
    """The shop's plan as JSON, changed by hand."""
    value = json.loads(plan(seconds=0.0, json=True))
    change(value)
    file = tmp_path / "plan.json"
    file.write_text(json.dumps(value))
    return file


def leave_out(key: str, text: str) -> Callable[[dict[str, Any]], None]:
    """Take a step out of a plan, with a reason, and what it costs out of the cost."""

    def change(value: dict[str, Any]) -> None:
        value["placed"] = [placed for placed in value["placed"] if placed["step"] != key]
        value["left"] = [{"step": key, "text": text, "values": {}}]
        whole, schedule = read_plan(json.dumps(value))
        value["cost"] = dataclasses.asdict(cost_of(whole, schedule.placed))

    return change


def test_a_plan_that_leaves_out_what_could_be_placed_says_so(tmp_path: Path) -> None:
    file = a_plan_file(tmp_path, leave_out("H-1/hand_over", "Nobody felt like it."))
    steps = len(json.loads(file.read_text())["placed"])
    first, left = plan(check=file).splitlines()
    assert first.startswith(f"{steps} steps placed keep every constraint; 1 left out. Cost: ")
    assert left.startswith("H-1/hand_over: Nobody felt like it. (Only the plan says so")


def test_what_has_no_place_is_named_by_the_check_with_its_reason(tmp_path: Path) -> None:
    Station.objects.filter(kind="canvas").delete()
    Pulse.bump(setup=True)
    file = a_plan_file(tmp_path, lambda value: None)
    said = plan(check=file)
    assert "H-1/canvas/1: “canvas rig” has 0 places; this needs 1.\n" in said
    assert "Only the plan says so" not in said


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda value: value.update(placed=value["placed"][:-1]), r"once, H-1/\S+: is in the plan 0 times"),
        (
            lambda value: value.update(left=[{"step": value["placed"][0]["step"], "text": "No.", "values": {}}]),
            r"once, H-1/\S+: is in the plan 2 times",
        ),
        (
            lambda value: value.update(left=[{"step": "H-9/oil", "text": "No.", "values": {}}]),
            "unknown, H-9/oil: is in the plan and not in the problem",
        ),
    ],
)
def test_a_plan_that_does_not_account_for_every_step_once_is_refused(
    tmp_path: Path, change: Callable[[dict[str, Any]], None], said: str
) -> None:
    file = a_plan_file(tmp_path, change)
    with pytest.raises(CommandError, match=said):
        plan(check=file)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("no json", "file: This is no JSON text"),
        ("{}", "file: This file holds no planning problem and no plan"),
        ('{"ribband": "plan"}', "file: This file holds no planning problem and no plan of a version"),
        ('{"ribband": "plan", "version": 1}', "problem: Here a value of the kind dict belongs"),
    ],
)
def test_what_is_no_plan_is_refused_in_words(tmp_path: Path, text: str, said: str) -> None:
    file = tmp_path / "plan.json"
    file.write_text(text)
    with pytest.raises(CommandError, match=said):
        plan(check=file)


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="No such file"):
        plan(problem=tmp_path / "gone.json")


@pytest.mark.parametrize("seconds", ["nan", "inf", "-1", "soon"])
def test_a_time_that_never_ends_is_refused(seconds: str) -> None:
    with pytest.raises(CommandError, match="seconds"):
        call_command("plan", "--seconds", seconds)
    assert not Plan.objects.exists()
