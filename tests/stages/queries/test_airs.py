from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase
from pytest_django import DjangoAssertNumQueries

from shop.models import Flag, Pulse, Reading, Sensor, Zone
from shop.readings.ingest import take_in
from shop.readings.sample import Sample
from shop.services.sensors import decide
from stages.queries.airs import AIR_DAYS, Airs, KeptAir, fresh_airs
from stages.services.air import record_reading, record_weather
from tests.factories import the_shop_owner

NOW = datetime.now(UTC).replace(microsecond=0)


def a_sensor(name: str = "Loft") -> Sensor:
    zone, _ = Zone.objects.get_or_create(name=name)
    return Sensor.objects.get_or_create(name=name, defaults={"zone": zone})[0]


def send(sensor: Sensor, *hours_ago: float, air_c: float = 20.0) -> None:
    air = [Sample(at=NOW - timedelta(hours=h), air_c=air_c + h / 100, rh_pct=50.0) for h in hours_ago]
    take_in(sensor=sensor, now=NOW, air=air)


def alike(one: Airs, other: Airs) -> bool:
    logs = one.logs.keys() == other.logs.keys() and all(
        np.array_equal(getattr(log, name), getattr(other.logs[zone], name), equal_nan=True)
        for zone, log in one.logs.items()
        for name in ("seconds", "air_c", "rh_pct", "surface_c")
    )
    return logs and one.dry_days == other.dry_days


@pytest.fixture
def kept(db: None) -> KeptAir:
    Pulse.bump(air=True)
    return KeptAir()


def test_nothing_is_read_while_the_stamps_stand(
    kept: KeptAir, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    send(a_sensor(), 1, 2)
    pulse = Pulse.now()
    first = kept.under(pulse)
    with django_assert_num_queries(0):
        assert kept.under(pulse) is first


def test_a_new_reading_is_read_alone_and_leaves_other_zones_as_they_were(
    kept: KeptAir, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    loft, shed = a_sensor(), a_sensor("Shed")
    send(loft, 1, 2)
    send(shed, 1, 2)
    before = kept.under(Pulse.now())
    send(loft, 0.5)
    pulse = Pulse.now()
    with django_assert_num_queries(2):  # what changed, and the weather
        after = kept.under(pulse)
    assert len(after.logs[loft.zone_id].seconds) == 3
    assert after.logs[shed.zone_id] is before.logs[shed.zone_id]
    assert alike(after, fresh_airs())


def test_a_correction_by_hand_takes_the_place_of_what_was_read(kept: KeptAir) -> None:
    zone = a_sensor().zone
    for air_c in (20.0, 11.5):
        record_reading(zone=zone, at=NOW - timedelta(hours=1), air_c=air_c, rh_pct=60.0, by=None)
        log = kept.under(Pulse.now()).logs[zone.pk]
        assert list(log.air_c) == [air_c]


def test_flagged_readings_are_out_until_somebody_takes_them_in(kept: KeptAir) -> None:
    loft = a_sensor()
    send(loft, 2)
    send(loft, 1.99, air_c=45.0)
    assert len(kept.under(Pulse.now()).logs[loft.zone_id].seconds) == 1
    for take, count in ((True, 2), (False, 1)):
        decide(
            sensor=loft,
            flag=Flag.WILD,
            first=NOW - timedelta(days=1),
            last=NOW,
            take_in=take,
            by=the_shop_owner(),
            now=NOW,
        )
        assert len(kept.under(Pulse.now()).logs[loft.zone_id].seconds) == count


def test_readings_that_turn_out_stuck_are_taken_out_again(kept: KeptAir) -> None:
    loft = a_sensor()
    for hours_ago in range(30, 5, -1):
        take_in(sensor=loft, now=NOW, air=[Sample(at=NOW - timedelta(hours=hours_ago), air_c=20.0, rh_pct=50.0)])
        kept.under(Pulse.now())
    assert len(kept.under(Pulse.now()).logs[loft.zone_id].seconds) == 1


def test_weather_is_read_with_the_turn(kept: KeptAir) -> None:
    yard = Zone.objects.create(name="Yard", outdoors=True)
    for dry, days in ((True, {NOW.date()}), (False, set())):
        record_weather(zone=yard, day=NOW.date(), dry=dry)
        assert set(kept.under(Pulse.now()).dry_days.get(yard.pk, ())) == days


def test_another_stamp_is_read_anew(kept: KeptAir) -> None:
    loft = a_sensor()
    send(loft, 1)
    kept.under(Pulse.now())
    Reading.objects.create(zone=loft.zone, at=NOW, air_c=1.0, rh_pct=50.0)
    Pulse.bump(air=True)
    assert len(kept.under(Pulse.now()).logs[loft.zone_id].seconds) == 2


def test_an_older_stamp_gives_what_is_kept(kept: KeptAir) -> None:
    loft = a_sensor()
    send(loft, 2)
    old = Pulse.now()
    send(loft, 1)
    newer = kept.under(Pulse.now())
    assert kept.under(old) is newer


def test_readings_from_before_the_clocks_memory_are_left_alone(kept: KeptAir) -> None:
    loft = a_sensor()
    send(loft, 1)
    kept.under(Pulse.now())
    send(loft, 24 * AIR_DAYS + 1)
    assert len(kept.under(Pulse.now()).logs[loft.zone_id].seconds) == 1


STEP = st.one_of(
    st.tuples(st.just("send"), st.sampled_from(["Loft", "Shed"]), st.integers(0, 200), st.integers(1, 4)),
    st.tuples(st.just("wild"), st.sampled_from(["Loft", "Shed"]), st.integers(0, 200), st.just(1)),
    st.tuples(st.just("hand"), st.sampled_from(["Loft", "Shed"]), st.integers(0, 8), st.integers(10, 30)),
    st.tuples(st.sampled_from(["take in", "keep out"]), st.sampled_from(["Loft", "Shed"]), st.just(0), st.just(0)),
)


class TestInAnyOrder(TestCase):
    @given(st.lists(STEP, max_size=12))
    def test_what_is_kept_is_always_what_is_in_the_table(self, steps: list[tuple[str, str, int, int]]) -> None:
        Pulse.bump(air=True)
        kept, boss = KeptAir(), the_shop_owner()
        for what, name, hour, much in steps:
            sensor = a_sensor(name)
            if what == "send":
                send(sensor, *(hour + n / 4 for n in range(much)))
            elif what == "wild":
                send(sensor, hour + 0.01, air_c=45.0)
            elif what == "hand":
                at = NOW - timedelta(hours=hour)
                record_reading(zone=sensor.zone, at=at, air_c=much, rh_pct=50.0, by=None)
            else:
                first, last = NOW - timedelta(days=30), NOW
                take = what == "take in"
                decide(sensor=sensor, flag=Flag.WILD, first=first, last=last, take_in=take, by=boss, now=NOW)
            assert alike(kept.under(Pulse.now()), fresh_airs())
