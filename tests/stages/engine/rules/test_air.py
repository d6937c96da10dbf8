"""Air: now, in the first hours, and when it clears. Published cases stand beside their source."""

from datetime import UTC, timedelta

import pytest

from stages.engine.airlog import AirLog, AirReading
from stages.engine.projection import Projection
from stages.engine.rules import judge
from stages.engine.vocab import Severity
from tests.stages.engine.trade import INDOORS, NOW, a_coat, a_work, a_world, asking_to_coat, refusals, steady

SANDED_PRIMER = a_coat("primer", hours_ago=48, sanded=True)


def air(air_c: float, rh_pct: float, surface_c: float | None = None, *, hours_ago: float = 0.0) -> AirReading:
    return AirReading(at=NOW - timedelta(hours=hours_ago), air_c=air_c, rh_pct=rh_pct, surface_c=surface_c)


def words_of(log: AirLog) -> str | None:
    work = a_work(coats=[SANDED_PRIMER], started=["enamel"], at="finishing", world=a_world(air=log))
    found = refusals(work, asking_to_coat("enamel")).get("air")
    return str(found.words) if found else None


@pytest.mark.parametrize(
    ("reading", "refused"),
    [
        # ISO 8502-4 practice as several guides print it: 16 °C, 71 %, surface 13 °C: margin 2.25 K, do not paint.
        (air(16, 71, 13), "only 2.2 °C above the dew point"),
        # The same guides: 21 °C dry and 17 °C wet bulb (67 %), surface 19 °C: dew point 14.7 °C, paint.
        (air(21, 67, 19), None),
        # RH of 85 % at most is customary (secondary sources); at it, over it.
        (air(20, 85.0, 24), None),
        (air(20, 85.1, 24), "wants at most 85 %"),
        # The shop's own primer and enamel: 7 °C at least, 35 °C at most (labels of their kind, from memory).
        (air(7.0, 40), None),
        (air(6.9, 40), "wants at least 7.0 °C"),
        (air(35.0, 30), None),
        (air(35.1, 30), "wants at most 35.0 °C"),
        # A hull that came in from the cold counts, though the room is warm.
        (air(20, 30, 6.0), "It is 6.0 °C"),
    ],
)
def test_a_coat_meets_the_air_as_it_is(reading: AirReading, refused: str | None) -> None:
    log = AirLog.of([reading]).with_projection(Projection.steady(23.0, 40.0, UTC))
    found = words_of(log)
    assert (found is None) if refused is None else (found is not None and refused in found)


def test_a_night_that_would_bring_dew_in_the_first_hours_refuses_and_says_when_it_clears() -> None:
    # 20 °C and 55 % now; in two hours 13 °C with the same vapour: 85 %, 2.4 K over the dew point.
    falling = [air(20, 55), air(13, 85, hours_ago=-2), air(13, 85, hours_ago=-10), air(20, 55, hours_ago=-12)]
    log = AirLog.of([*falling, air(20, 55, hours_ago=-60)], bridge_h=100.0)
    work = a_work(coats=[SANDED_PRIMER], started=["enamel"], at="finishing", world=a_world(air=log))
    found = refusals(work, asking_to_coat("enamel"))["air"]
    assert str(found.words).startswith("In its first hours the surface is expected only")
    assert found.words.values["read_at"] == NOW
    assert found.earliest is not None
    assert timedelta(hours=10) < found.earliest - NOW < timedelta(hours=12)
    later = refusals(work, asking_to_coat("enamel", at=found.earliest))
    assert "air" not in later


def test_canvas_asks_nothing_of_the_air() -> None:
    work = a_work(
        coats=[a_coat("oil", hours_ago=200)], started=["canvas"], at="canvas", world=a_world(air=steady(1, 99))
    )
    assert "air" not in refusals(work, asking_to_coat("canvas"))


def test_without_a_reading_for_hours_it_warns_and_refuses_nothing() -> None:
    for log in (AirLog.of([]), AirLog.of([air(20, 50, hours_ago=30)])):
        world = a_world(air=log)
        work = a_work(coats=[SANDED_PRIMER], started=["enamel"], at="finishing", world=world)
        found = [f for f in judge(work, asking_to_coat("enamel")) if f.rule == "air"]
        assert [f.severity for f in found] == [Severity.WARNS]
        assert INDOORS in world.air


def test_air_that_is_expected_to_be_too_cold_refuses_though_the_last_reading_is_old_and_says_so() -> None:
    log = AirLog.of([air(2, 60, hours_ago=30)]).with_projection(Projection.steady(2.0, 60.0, UTC))
    work = a_work(coats=[SANDED_PRIMER], started=["enamel"], at="finishing", world=a_world(air=log))
    found = refusals(work, asking_to_coat("enamel"))["air"]
    assert "is expected to fall to 2.0 °C" in str(found.words)
    assert found.words.values["read_at"] == NOW - timedelta(hours=30)
    assert found.earliest is None
