"""Lead. Lead-safe work practice as national authorities publish it; the wet method is common practice."""

from datetime import timedelta

import pytest

from stages.engine.rules import judge
from stages.engine.state import StageRecord
from stages.engine.vocab import Condition, Gate, Severity, Surface
from tests.stages.engine.trade import (
    NOW,
    a_coat,
    a_route,
    a_stage,
    a_work,
    asking_to_finish,
    asking_to_sand,
    asking_to_start,
    refusals,
)

STRIP = a_stage("strip", gates=frozenset({Gate.LEAD}))
WASH = a_stage("wash")
ROUTE = a_route(STRIP, WASH)
OLD = {Surface.INSIDE: Condition.SOUND}
# test on record, worked wet, refused
CASES = [
    (None, False, True),
    (None, True, True),
    (False, False, False),
    (False, True, False),
    (True, False, True),
    (True, True, False),
]


@pytest.mark.parametrize(("lead", "wet", "refused"), CASES)
def test_stripping_asks_for_a_test_and_after_a_positive_one_for_the_wet_method(
    lead: bool | None, wet: bool, refused: bool
) -> None:
    found = refusals(a_work(route=ROUTE, lead=lead), asking_to_start(STRIP, wet=wet))
    assert set(found) == ({"lead"} if refused else set())


@pytest.mark.parametrize(("lead", "wet", "refused"), CASES)
def test_so_does_sanding_old_finish(lead: bool | None, wet: bool, refused: bool) -> None:
    found = refusals(a_work(route=ROUTE, lead=lead, old=OLD), asking_to_sand("inside", wet=wet))
    assert set(found) == ({"lead"} if refused else set())


def test_nobody_overrides_it() -> None:
    assert refusals(a_work(route=ROUTE), asking_to_start(STRIP))["lead"].safety
    assert refusals(a_work(route=ROUTE, lead=True, old=OLD), asking_to_sand("inside"))["lead"].safety


def test_bare_wood_and_new_coats_are_sanded_without_a_test() -> None:
    assert refusals(a_work(), asking_to_sand("inside")) == {}
    assert refusals(a_work(coats=[a_coat("varnish", on="inside")], old=OLD), asking_to_sand("inside")) == {}


def test_work_that_leaves_the_old_finish_alone_starts_without_a_test() -> None:
    assert refusals(a_work(route=ROUTE), asking_to_start(WASH)) == {}


def test_a_step_begun_dry_before_the_test_found_lead_is_warned_of_when_it_ends() -> None:
    begun = {"job": StageRecord(started_at=NOW - timedelta(hours=3))}
    wet = {"job": StageRecord(started_at=NOW - timedelta(hours=3), wet_method=True)}
    old = a_stage(gates=frozenset({Gate.LEAD}))

    def severities(records: dict[str, StageRecord], lead: bool) -> list[Severity]:
        work = a_work(records=records, lead=lead, route=a_route(old))
        found = judge(work, asking_to_finish(old))
        return [finding.severity for finding in found if finding.rule == "lead"]

    assert severities(begun, True) == [Severity.WARNS]
    assert severities(begun, False) == []
    assert severities(wet, True) == []
