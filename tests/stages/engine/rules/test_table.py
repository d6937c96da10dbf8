"""The table of rules as a whole."""

from pathlib import Path

import pytest

from stages.engine import rules
from stages.engine.findings import Rule
from stages.engine.rules import RULES

# The rules that the shop's design asks of this release, by the names of its table.
ASKED_FOR = {
    "order",
    "dry",
    "sand_between",
    "no_sanding",
    "bridge",
    "topped",
    "coats",
    "place",
    "outdoors",
    "sound_base",
    "lead",
    "rags",
    "stores",
}


def test_every_rule_is_there() -> None:
    assert {rule.id for rule in RULES} >= ASKED_FOR


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_a_rule_is_found_by_its_name_and_says_why_and_from_where(rule: Rule) -> None:
    assert (Path(rules.__path__[0]) / f"{rule.id}.py").exists()
    assert rule.title
    assert rule.holds.endswith(".")
    assert rule.reason.endswith(".")
    assert rule.source
    assert rule.actions


def test_only_what_can_hurt_somebody_can_never_be_overridden() -> None:
    assert {rule.id for rule in RULES if rule.safety} == {"lead", "rags"}
