"""The rule book: every rule and every stage is in it, in words."""

import re

import pytest
from django.test import Client
from django.utils.html import escape

from shop.models import Role
from shop.setup.products import GENERAL
from stages.engine.rules import RULES
from stages.engine.vocab import Severity
from stages.models import Route, RouteStage
from stages.queries.rules import ACTIONS, route_in_words, rules_in_words
from stages.services.arrival import next_version, publish_route
from tests.factories import a_crew_member, a_shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def looker(client: Client) -> Client:
    client.force_login(a_crew_member("wall", Role.LOOK))
    return client


def entry(page: str, rule: str) -> str:
    found = re.search(rf'<li id="{rule}".*?</li>', page, re.DOTALL)
    assert found, rule
    return found[0]


def test_every_rule_stands_in_it_with_what_it_holds_its_reason_and_its_source(looker: Client) -> None:
    page = looker.get("/rules/").content.decode()
    for rule in RULES:
        shown = entry(page, rule.id)
        for words in (rule.title, rule.holds, rule.reason):
            assert escape(words) in shown
        assert escape(rule.source[0].upper() + rule.source[1:]) in shown


def test_rules_of_safety_come_first_and_say_that_nobody_overrides_them(looker: Client) -> None:
    page = looker.get("/rules/").content.decode()
    safety = [rule.id for rule in RULES if rule.safety]
    assert safety
    for rule in RULES:
        never, owner = ("Never overridden" in entry(page, rule.id), "Only the shop’s owner" in entry(page, rule.id))
        assert (never, owner) == (rule.safety, rule.severity is Severity.REFUSES and not rule.safety)
    assert [rule.id for rule in rules_in_words()][: len(safety)] == safety


def test_each_rule_says_when_it_is_judged() -> None:
    said = {rule.id: rule.actions.lower() for rule in rules_in_words()}
    for rule in RULES:
        assert {action for action, words in ACTIONS.items() if words in said[rule.id]} == rule.actions


def test_every_stage_of_the_route_stands_in_it_with_its_caution_and_the_caution_with_its_ending(looker: Client) -> None:
    a_shop()
    page = looker.get("/rules/").content.decode()
    stages = list(RouteStage.objects.all())
    assert len(stages) > 20
    for stage in stages:
        assert escape(stage.name) in page
        assert not stage.caution or escape(stage.caution) in page
    assert page.count('<div class="caution">') == sum(1 for stage in stages if stage.caution)
    assert all(stage.caution.endswith(GENERAL) for stage in stages if stage.caution)


def test_a_stage_says_for_which_hulls_it_is_where_how_many_coats_and_after_what() -> None:
    a_shop()
    route = route_in_words()
    assert route is not None
    by_name = {stage.name: stage for stage in route.stages}
    assert by_name["Ribs"].asks == ("Where the survey counts ribs", "At the wood bench")
    assert by_name["Ribs"].after == "Wash and dry"
    filled = by_name["Fill with latex filler"]
    assert filled.asks == (
        "Where the filler is latex filler",
        "At the filler bay",
        "3 coats of latex filler: skin",
    )
    off = by_name["Old finish off the brightwork"]
    assert off.asks[0] == "Where the old finish is flaking or loose: brightwork"


def test_the_route_is_the_one_that_new_hulls_take(looker: Client) -> None:
    a_shop()
    second = next_version(route=Route.objects.get())
    assert "version 1" in looker.get("/rules/").content.decode()
    publish_route(route=second)
    assert "version 2" in looker.get("/rules/").content.decode()


def test_before_a_route_is_published_it_says_so(looker: Client) -> None:
    page = looker.get("/rules/").content.decode()
    assert "No route is published yet." in page
    assert page.count("<li id=") == len(RULES)


def test_words_of_the_shop_are_shown_as_text(looker: Client) -> None:
    a_shop()
    second = next_version(route=Route.objects.get())
    second.stages.filter(key="survey").update(name="<b>Survey</b>", caution="<script>alert(1)</script>")
    publish_route(route=second)
    page = looker.get("/rules/").content.decode()
    assert "&lt;b&gt;Survey" in page
    assert "<script>alert" not in page


def test_a_choice_of_the_shop_s_own_is_shown_as_it_is_written() -> None:
    a_shop()
    second = next_version(route=Route.objects.get())
    second.stages.filter(key="seats").update(when="choice:sail=lateen")
    publish_route(route=second)
    route = route_in_words()
    assert route is not None
    assert next(stage for stage in route.stages if stage.name.startswith("Seats")).asks[0] == "Sail: lateen"


def test_it_only_reads(looker: Client) -> None:
    assert looker.post("/rules/").status_code == 405


def test_it_asks_for_a_log_in(client: Client) -> None:
    assert client.get("/rules/")["Location"] == "/login/?next=/rules/"
