"""Wood: moisture before oil, varnish, canvas and glue. The limits are from memory; the shop sets its own."""

from dataclasses import replace
from datetime import timedelta

import pytest

from stages.engine.airlog import AirLog, AirReading
from stages.engine.rules import judge
from stages.engine.rules.wood import drying
from stages.engine.state import MoistureReading, StageRecord
from stages.engine.vocab import Gate, Severity
from stages.engine.wood import WoodLimits, emc_pct
from stages.engine.work import Work
from tests.stages.engine.trade import NOW, a_coat, a_stage, a_work, a_world, asking_to_coat, asking_to_start, refusals


def reading(moisture_pct: float, *, hours_ago: float = 1.0) -> MoistureReading:
    return MoistureReading(at=NOW - timedelta(hours=hours_ago), moisture_pct=moisture_pct)


@pytest.mark.parametrize(("moisture_pct", "refused"), [(14.9, False), (15.0, False), (15.1, True)])
@pytest.mark.parametrize(("product", "under"), [("oil", None), ("varnish", None), ("sealer", None), ("canvas", "oil")])
def test_bare_wood_is_dry_enough_before_its_first_coat(
    product: str, under: str | None, moisture_pct: float, refused: bool
) -> None:
    coats = [a_coat(under, hours_ago=200)] if under else []
    work = a_work(coats=coats, moisture=(reading(moisture_pct),))
    assert ("wood" in refusals(work, asking_to_coat(product))) is refused


def test_a_second_coat_asks_no_more_of_the_wood() -> None:
    work = a_work(coats=[a_coat("varnish", hours_ago=48, sanded=True)], moisture=(reading(22.0),))
    assert "wood" not in refusals(work, asking_to_coat("varnish"))


def test_without_a_reading_it_warns() -> None:
    found = [f for f in judge(a_work(moisture=()), asking_to_coat("oil")) if f.rule == "wood"]
    assert [f.severity for f in found] == [Severity.WARNS]


def test_a_reading_from_before_the_wash_says_nothing() -> None:
    washed = {"wash": StageRecord(started_at=NOW - timedelta(days=4), finished_at=NOW - timedelta(days=3))}
    before = a_work(records=washed, moisture=(reading(9.0, hours_ago=100),))
    after = a_work(records=washed, moisture=(reading(22.0, hours_ago=100), reading(11.0, hours_ago=2)))
    assert [f.severity for f in judge(before, asking_to_coat("oil")) if f.rule == "wood"] == [Severity.WARNS]
    assert [f for f in judge(after, asking_to_coat("oil")) if f.rule == "wood"] == []


@pytest.mark.parametrize(("moisture_pct", "refused"), [(12.0, False), (12.1, True)])
def test_a_glued_joint_wants_drier_wood(moisture_pct: float, refused: bool) -> None:
    glued = a_stage("stems", gates=frozenset({Gate.GLUE}))
    work = a_work(moisture=(reading(moisture_pct),))
    assert ("wood" in refusals(work, asking_to_start(glued))) is refused
    assert "wood" not in refusals(work, asking_to_start(replace(glued, gates=frozenset())))


def test_the_shops_own_limits_count() -> None:
    strict = replace(a_world(), wood=WoodLimits(oil_pct=10.0))
    assert "wood" in refusals(a_work(world=strict, moisture=(reading(10.5),)), asking_to_coat("oil"))


def in_the_hall(*readings: MoistureReading) -> Work:
    return a_work(at="wood", moisture=readings)


def test_the_finding_never_says_that_the_wood_holds_just_what_it_may() -> None:
    found = refusals(a_work(moisture=(reading(15.1),)), asking_to_coat("oil"))["wood"]
    assert str(found.words) == "The wood holds 15.1 % moisture; 15 % is the most."


def test_one_damp_morning_does_not_stop_the_wood_from_drying() -> None:
    # A day at 40 %, a night at 95 %, 15 °C: by eq. 4-5 the wood tends to 24 % in the night air, to 16 over both.
    air = AirLog.of(
        AirReading(at=NOW + timedelta(hours=h), air_c=15.0, rh_pct=95.0 if h % 24 < 12 else 40.0)
        for h in range(-240, 240)
    )
    estimate = drying(a_work(at="wood", world=a_world(air=air), moisture=(reading(22.0, hours_ago=24),)), 18.0)
    assert estimate is not None
    assert estimate.emc_pct == pytest.approx((emc_pct(15.0, 95.0) + emc_pct(15.0, 40.0)) / 2.0)
    assert estimate.likely is not None


def test_the_finding_says_when_the_wood_is_likely_dry_and_the_estimate_that_it_is_rough() -> None:
    work = in_the_hall(reading(20.0))
    found = refusals(work, asking_to_coat("oil"))["wood"]
    assert found.earliest is not None
    assert found.earliest > NOW
    estimate = drying(work, 15.0)
    assert estimate is not None
    assert estimate.rough
    # USDA Wood Handbook (FPL-GTR-282) eq. 4-5: 23 °C and 50 % give 9.2 %.
    assert estimate.emc_pct == pytest.approx(emc_pct(23.0, 50.0))
    assert estimate.emc_pct == pytest.approx(9.2, abs=0.05)
