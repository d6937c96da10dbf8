"""What the plan that holds says of days: of stages, of free places, of promises in danger, and where that is shown."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shop.models import Shop
from stages.models import HullDates
from stages.planner.listplan import list_plan
from stages.planner.problem import Hold, Job, Person, Problem, Resource, Step, Use
from stages.queries.buylist import buy_list
from stages.queries.planned import planned_needs
from stages.queries.planned_days import free_until, planned_starts
from stages.queries.world import around
from stages.saying import day
from stages.services.planning import Made, keep
from stages.services.replanning import plan_of
from tests.factories import a_hull, a_shop, the_shop_owner

pytestmark = pytest.mark.django_db

A_DAY = 96


def a_plan(*steps: Step, capacity: int = 3, now: datetime) -> Problem:
    """Keep a plan of some steps in the finishing room, which are worked by somebody who is always there."""
    problem = Problem(
        horizon=60 * A_DAY,
        people=(Person(key="p1", name="Ines", skills=frozenset({"hands"}), works=((0, 60 * A_DAY),)),),
        resources=(Resource(key="finishing", title="finishing room", capacity=capacity),),
        jobs=tuple(Job(key=tag) for tag in dict.fromkeys(step.job for step in steps)),
        steps=steps,
        start=now,
    )
    keep(Made(problem=problem, schedule=list_plan(problem), how="list", now=now, told={}))  # type: ignore[arg-type]
    return problem


def a_stay(tag: str, after: int, days: int) -> Step:
    """A hull that comes into the finishing room after some days, and stays there for some."""
    use = (Use(resource="finishing"),)
    if after == 0:
        return Step(key=f"{tag}/prime", job=tag, uses=use, dry=days * A_DAY, since=0, kind="prime")
    holds = (Hold(until=after * A_DAY, why="other"),)
    return Step(
        key=f"{tag}/prime", job=tag, uses=use, sittings=(days * A_DAY,), skill="hands", holds=holds, kind="prime"
    )


def test_places_that_are_free_now_say_until_when_the_soonest_first() -> None:
    now = datetime(2026, 5, 4, 8, tzinfo=UTC)
    a_plan(a_stay("H-1", 0, 2), a_stay("H-2", 3, 1), a_stay("H-3", 9, 1), capacity=3, now=now)
    # One place is taken now; of the two that are free one is taken on the seventh, and then again: it stays the same.
    assert free_until(now, UTC)["finishing"][0] == (now + timedelta(days=3)).date()
    assert len(free_until(now, UTC)["finishing"]) <= 2


def test_without_a_plan_nothing_is_said() -> None:
    assert free_until(timezone.now(), UTC) == {}
    assert planned_starts(UTC) == {}


def test_the_floor_says_until_when_a_place_is_free(client: Client) -> None:
    a_shop()
    client.force_login(the_shop_owner())
    now = timezone.now()
    a_plan(a_stay("H-2", 3, 1), capacity=2, now=now)
    assert f"free until {day((now + timedelta(days=3)).date(), now.date())}" in client.get("/").content.decode()


def test_what_is_bought_is_needed_on_the_days_of_the_plan() -> None:
    a_shop()
    the_shop_owner()
    a_hull()
    now = timezone.now()
    before = {need.step: need.on for need in planned_needs(around(), now)}
    keep(plan_of(around(), now=now, seconds=0))
    starts = planned_starts(UTC)
    after = {need.step: need.on for need in planned_needs(around(), now)}
    assert after["Enamel"] == starts["H-1", "enamel"]
    assert after["Enamel"] > before["Enamel"]  # hands sleep and have weekends off
    assert buy_list(around(), now).today == now.date()


def test_the_floor_names_the_promises_that_will_hardly_be_kept(client: Client) -> None:
    a_shop()
    client.force_login(the_shop_owner())
    on = timezone.now().date() + timedelta(days=12)
    for tag, chance_pct in (("H-1", 20.0), ("H-2", 51.0), ("H-3", 49.0)):
        hull = a_hull(tag, promised_on=on)
        dates = dict.fromkeys(("early_on", "likely_on", "late_on", "suggested_on"), on)
        HullDates.objects.create(
            hull=hull, made_at=timezone.now(), promised_on=on, chance_pct=chance_pct, **dates
        )  # fmt: skip
    page = client.get("/").content.decode()
    said = page[page.index("Promises in danger:") :].split("</p>")[0]
    assert reverse("sheet", kwargs={"tag": "H-1"}) in said
    assert said.index("H-1") < said.index("H-3")
    assert "H-2" not in said
    why = [{"text": "Nobody can do “%(skill)s”.", "values": {"skill": "canvas"}}]
    for tag, promised in (("H-4", on), ("H-5", None), ("H-6", on)):
        undated = a_hull(tag, promised_on=promised)
        HullDates.objects.create(hull=undated, made_at=timezone.now(), promised_on=promised, no_date=why)
    page = client.get("/").content.decode()
    said = page[page.index("Promises in danger:") :].split("</p>")[0]
    assert re.search(r"H-4</a></span><span><a [^>]+>H-6</a> no date: Nobody can do “canvas”\.</span>", said)
    assert said.index("H-4") < said.index("H-1")
    assert "H-5" not in said
    Shop.objects.update(promise_limit_pct=0)
    Shop.the_one().save()
    assert "Promises in danger:" not in client.get("/").content.decode()
