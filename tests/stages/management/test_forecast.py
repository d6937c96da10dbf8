"""`manage.py forecast`: dates of the shop's boats, or of a file's."""

import io
import json
from dataclasses import replace
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from django.core.management import CommandError, call_command

from shop.models import Shop
from stages.bench.shops import invented_shop
from stages.planner.fileformat import write_plan, write_problem
from stages.planner.forecast import MOST_SAMPLES, forecast
from stages.planner.listplan import list_plan
from stages.planner.noise import Noise
from stages.planner.screen import without
from stages.queries.plans import held_plan
from tests.factories import a_hull, a_shop, the_shop_owner

pytestmark = pytest.mark.django_db


def said(**options: object) -> str:
    """What the command says."""
    out = io.StringIO()
    call_command("forecast", stdout=out, **options)
    return out.getvalue()


def test_the_plan_that_holds_is_forecast() -> None:
    a_shop()
    the_shop_owner()
    a_hull()
    with pytest.raises(CommandError, match="no plan yet"):
        said()
    call_command("plan", seconds=0.0, stdout=io.StringIO())
    assert "H-1" in said(samples=5)


def test_moments_are_told_by_the_shop_s_clock() -> None:
    a_shop()
    Shop.objects.update(time_zone="Asia/Tokyo")  # nine hours ahead of UTC all year
    the_shop_owner()
    a_hull()
    call_command("plan", seconds=0.0, stdout=io.StringIO())
    likely = json.loads(said(samples=5, json=True))["boats"]["H-1"]["likely"]
    held = held_plan()
    assert held is not None
    assert f"{held.at(likely).astimezone(ZoneInfo('Asia/Tokyo')):%Y-%m-%d %H:%M}" in said(samples=5)


def test_a_problem_or_a_plan_in_a_file_gives_the_same_dates(tmp_path: Path) -> None:
    problem = invented_shop(10, 1)
    plan = list_plan(problem)
    first, second = tmp_path / "problem.json", tmp_path / "plan.json"
    first.write_text(write_problem(problem))
    second.write_text(write_plan(problem, plan))
    told = json.loads(said(problem=first, samples=10, json=True))
    assert told == json.loads(said(problem=second, samples=10, json=True))
    finish = forecast(problem, plan, Noise(), samples=10).finishes["b000"]
    assert told["boats"]["b000"]["likely"] == finish.likely


def test_what_is_no_problem_is_refused_in_words(tmp_path: Path) -> None:
    file = tmp_path / "nothing.json"
    file.write_text("no JSON")
    with pytest.raises(CommandError):
        said(problem=file)
    with pytest.raises(CommandError):
        said(problem=tmp_path / "missing.json")


@pytest.mark.parametrize(
    ("samples", "words"),
    [
        (-1, "samples: A forecast takes one replay at least"),
        (0, "samples: A forecast takes one replay at least"),
        (10_001, "samples: A forecast takes 10,000 replays at most"),
        (10**30, "samples: A forecast takes 10,000 replays at most"),
    ],
)
def test_no_replay_and_more_than_anybody_waits_for_are_refused_in_words(
    tmp_path: Path, samples: int, words: str
) -> None:
    file = tmp_path / "problem.json"
    file.write_text(write_problem(invented_shop(10, 1)))
    with pytest.raises(CommandError, match=words):
        said(problem=file, samples=samples)


def test_as_many_replays_as_there_may_be_are_done(tmp_path: Path) -> None:
    file = tmp_path / "problem.json"
    problem = invented_shop(10, 1)
    only = [step.key for step in problem.steps if step.job != "b000"]
    file.write_text(write_problem(without(problem, only)))
    assert json.loads(said(problem=file, samples=MOST_SAMPLES, json=True))["samples"] == 10_000


def test_a_plan_that_breaks_a_constraint_is_not_forecast(tmp_path: Path) -> None:
    problem = invented_shop(10, 1)
    plan = list_plan(problem)
    file = tmp_path / "plan.json"
    file.write_text(write_plan(problem, replace(plan, placed=plan.placed[1:])))
    with pytest.raises(CommandError, match="is in the plan 0 times"):
        said(problem=file, samples=5)


def test_chance_begins_at_no_number_below_zero() -> None:
    with pytest.raises(CommandError, match="from 0 on"):
        call_command("forecast", "--seed", "-1")
