from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from random import Random
from uuid import uuid4

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase
from pytest_django import DjangoAssertNumQueries

from shop.models import Flag, Pulse, RainFall, Reading, Sensor, Shop, WeatherDay, Zone
from shop.readings.ingest import TakenIn, take_in
from shop.readings.sample import Rain, Sample
from shop.services.sensors import decide
from tests.factories import the_shop_owner

START = datetime(2026, 6, 1, tzinfo=UTC)
NOW = START + timedelta(days=20)


def at(minutes: float, air_c: float = 20.0, rh_pct: float = 50.0) -> Sample:
    return Sample(at=START + timedelta(minutes=minutes), air_c=air_c, rh_pct=rh_pct)


def a_sensor(name: str = "Loft 1", zone: str = "Loft", *, outdoors: bool = False) -> Sensor:
    held, _ = Zone.objects.get_or_create(name=zone, defaults={"outdoors": outdoors})
    return Sensor.objects.create(name=name, zone=held)


def send(sensor: Sensor, *air: Sample) -> TakenIn:
    return take_in(sensor=sensor, now=NOW, air=air)[0]


def at_home(sensor: Sensor) -> None:
    """Let a sensor read well for an hour before the start."""
    send(sensor, *(at(-10 * n, 20.0 + n % 2 / 2, 50.0 + 2 * (n % 2)) for n in range(10, 1, -1)))


def counting(sensor: Sensor) -> list[float]:
    """The readings that the clock sees."""
    return list(Reading.objects.filter(sensor=sensor, out=False).order_by("at").values_list("air_c", flat=True))


@pytest.mark.django_db
class TestAir:
    def test_new_readings_are_recorded_in_the_zone_of_the_sensor(self) -> None:
        sensor = a_sensor()
        taken = send(sensor, at(5, 20.5), at(0, 20.0))
        assert (taken.recorded, taken.repeated, taken.flagged, taken.conflicts) == (2, 0, {}, {})
        row = Reading.objects.get(air_c=20.5)
        assert (row.zone, row.sensor, row.at, row.out) == (sensor.zone, sensor, START + timedelta(minutes=5), False)

    def test_the_same_again_changes_nothing(self) -> None:
        sensor = a_sensor()
        send(sensor, at(0))
        taken = send(sensor, at(0), at(5), at(5))
        assert (taken.recorded, taken.repeated) == (1, 2)
        assert Reading.objects.count() == 2

    def test_another_value_for_the_same_moment_is_refused_and_the_first_stays(self) -> None:
        sensor = a_sensor()
        send(sensor, at(0, 20.0))
        taken = send(sensor, at(0, 20.1), at(5, 20.0), at(5, 20.2))
        assert (taken.recorded, sorted(taken.conflicts)) == (1, [0, 2])
        assert counting(sensor) == [20.0, 20.0]

    def test_two_sensors_of_a_zone_may_read_at_the_same_moment(self) -> None:
        one, other = a_sensor(), a_sensor("Loft 2")
        assert send(one, at(0, 20.0)).recorded == send(other, at(0, 21.0)).recorded == 1

    def test_a_wild_reading_is_kept_and_stays_out(self) -> None:
        sensor = a_sensor()
        send(sensor, at(0))
        taken = send(sensor, at(5, 45.0), at(10, 20.2))
        assert taken.flagged == {0: "wild"}  # of one and one, the first is believed
        assert counting(sensor) == [20.0, 20.2]
        assert Reading.objects.get(out=True).flag == Flag.WILD

    def test_a_sensor_that_jumped_and_stays_there_is_kept_out_until_somebody_takes_it_in(self) -> None:
        sensor = a_sensor()
        at_home(sensor)
        send(sensor, at(0))
        for n in range(1, 30):
            assert send(sensor, at(5 * n, 45.0 + n / 100)).flagged == {0: "wild"}
        assert len(counting(sensor)) == 10
        decide(sensor=sensor, flag=Flag.WILD, first=START, last=NOW, take_in=True, by=the_shop_owner(), now=NOW)
        assert send(sensor, at(150, 45.4)).flagged == {}
        assert len(counting(sensor)) == 40

    def test_a_bad_reading_at_the_very_beginning_is_flagged_once_the_good_ones_are_more(self) -> None:
        sensor = a_sensor()
        flagged = [send(sensor, at(5 * n, air_c)).flagged for n, air_c in enumerate((45.0, 21.0, 21.1, 21.0, 21.2))]
        assert flagged == [{}, {0: "wild"}, {}, {}, {}]
        assert counting(sensor) == [21.0, 21.1, 21.0, 21.2]

    def test_a_reading_that_comes_late_can_make_a_swinging_sensor_of_a_lively_one(self) -> None:
        sensor = a_sensor()
        at_home(sensor)
        send(sensor, *(at(10 * n, 20.0 + n % 2 / 10) for n in range(60)))
        assert len(counting(sensor)) == 69
        send(sensor, *(at(10 * n + 5, 32.0) for n in range(30, 36)))
        assert set(Reading.objects.filter(out=True).values_list("flag", flat=True)) == {Flag.RESTLESS}
        out = Reading.objects.filter(out=True).values_list("at", flat=True)
        assert min(out) < START + timedelta(minutes=310)
        assert max(out) < START + timedelta(minutes=355 + 120)

    def test_what_swings_and_was_taken_in_is_believed_as_long_as_it_goes_on(self) -> None:
        sensor = a_sensor()
        at_home(sensor)
        send(sensor, *(at(5 * n, 20.0 + 12 * (n % 2)) for n in range(40)))
        assert len(counting(sensor)) == 10
        decide(sensor=sensor, flag=Flag.RESTLESS, first=START, last=NOW, take_in=True, by=the_shop_owner(), now=NOW)
        for n in range(40, 80):
            assert send(sensor, at(5 * n, 20.0 + 12 * (n % 2))).flagged == {}

    def test_a_late_batch_is_watched_by_what_came_before_it_in_time(self) -> None:
        sensor = a_sensor()
        at_home(sensor)
        send(sensor, at(0, 20.0))
        send(sensor, at(600, 45.0))
        assert send(sensor, at(10, 45.0)).flagged == {0: "wild"}

    def test_a_stuck_sensor_is_flagged_back_to_the_second_of_its_equal_readings(self) -> None:
        loft, other = a_sensor(), a_sensor("Loft 2")
        send(other, *(at(30 * n, 15 + n / 4) for n in range(20)))
        send(loft, at(-30, 20.4), *(at(30 * n) for n in range(6)))
        for n in range(6, 14):
            send(loft, at(30 * n))
        assert counting(loft) == [20.4, 20.0]
        assert set(Reading.objects.filter(sensor=loft, out=True).values_list("flag", flat=True)) == {Flag.STUCK}

    def test_a_steady_room_is_not_stuck_while_nothing_else_moves(self) -> None:
        loft, shed = a_sensor(), a_sensor("Shed 1", "Shed")
        send(shed, *(at(30 * n, 15 + n % 2) for n in range(48)))
        for n in range(48):
            assert send(loft, at(30 * n)).flagged == {}
        assert send(loft, at(30 * 48)).flagged == {0: "stuck"}

    def test_a_still_room_is_stuck_sooner_where_the_air_moved_elsewhere_in_the_shop(self) -> None:
        loft, shed = a_sensor(), a_sensor("Shed 1", "Shed")
        send(shed, *(at(30 * n, 15 + n / 4, 60.0 - n % 5) for n in range(48)))
        assert [bool(send(loft, at(30 * n)).flagged) for n in range(40)] == [*[False] * 32, *[True] * 8]

    def test_its_own_readings_do_not_count_as_others_that_move(self) -> None:
        loft = a_sensor()
        send(loft, at(-30, 25.0))
        assert send(loft, *(at(30 * n) for n in range(14))).flagged == {}

    def test_what_is_read_by_hand_counts_as_another_that_moves(self) -> None:
        loft = a_sensor()
        for n, air_c in enumerate((18.0, 21.0)):
            Reading.objects.create(zone=loft.zone, at=START + timedelta(hours=2 * n + 1), air_c=air_c, rh_pct=50)
        assert len(send(loft, *(at(30 * n) for n in range(14))).flagged) == 13

    def test_a_run_that_was_taken_in_is_believed_until_the_value_changes(self) -> None:
        loft = a_sensor()
        send(loft, *(at(60 * n) for n in range(25)))
        assert len(counting(loft)) == 1
        decided = decide(
            sensor=loft, flag=Flag.STUCK, first=START, last=NOW, take_in=True, by=the_shop_owner(), now=NOW
        )
        assert decided == 24
        assert send(loft, *(at(60 * n) for n in range(25, 60))).flagged == {}
        assert send(loft, at(60 * 61, 20.3), *(at(60 * n, 20.3) for n in range(62, 90))).flagged

    def test_a_run_that_was_kept_out_goes_on_being_flagged(self) -> None:
        loft = a_sensor()
        send(loft, *(at(60 * n) for n in range(25)))
        decide(sensor=loft, flag=Flag.STUCK, first=START, last=NOW, take_in=False, by=the_shop_owner(), now=NOW)
        assert send(loft, at(60 * 26)).flagged == {0: "stuck"}

    def test_each_batch_takes_one_turn_that_its_readings_carry(self) -> None:
        sensor = a_sensor()
        before = Pulse.now()
        send(sensor, at(0), at(5))
        after = Pulse.now()
        assert (after.air_turn, after.air) == (before.air_turn + 1, after.air)
        assert after.beat != before.beat
        assert set(Reading.objects.values_list("turn", flat=True)) == {after.air_turn}

    def test_readings_that_turn_out_to_be_stuck_carry_the_turn_that_flagged_them(self) -> None:
        loft = a_sensor()
        send(loft, *(at(60 * n) for n in range(24)))
        send(loft, at(60 * 24))
        assert set(Reading.objects.filter(out=True).values_list("turn", flat=True)) == {Pulse.now().air_turn}

    def test_the_sensor_was_heard(self) -> None:
        sensor = a_sensor()
        send(sensor, at(0))
        sensor.refresh_from_db()
        assert sensor.last_heard_at == NOW

    def test_the_number_of_queries_does_not_hang_on_the_number_of_readings(
        self, django_assert_num_queries: DjangoAssertNumQueries
    ) -> None:
        sensor = a_sensor()
        at_home(sensor)
        for first, count in ((0, 1), (10, 40)):  # SQLite takes so many rows by one INSERT
            with django_assert_num_queries(11):
                send(sensor, *(at(n, 19.5 + n % 2, 50.0 + count) for n in range(first, first + count)))


@pytest.mark.django_db
class TestRain:
    def a_day_of_rain(self, sensor: Sensor, *, mm: float = 0.0, until_h: int = 25) -> None:
        rain = [Rain(at=START + timedelta(hours=h), rain_mm=mm if h == 9 else 0.0) for h in range(until_h + 1)]
        take_in(sensor=sensor, now=NOW, rain=rain)

    def days(self) -> list[tuple[str, date, bool, float | None]]:
        return list(WeatherDay.objects.order_by("day", "zone__name").values_list("zone__name", "day", "dry", "rain_mm"))

    def test_a_whole_day_without_rain_is_dry_in_every_outdoor_zone(self) -> None:
        gauge = a_sensor("Gauge", "Yard", outdoors=True)
        Zone.objects.create(name="Lean-to", outdoors=True)
        Zone.objects.create(name="Loft")
        self.a_day_of_rain(gauge)
        assert self.days() == [("Lean-to", START.date(), True, 0.0), ("Yard", START.date(), True, 0.0)]

    def test_a_day_is_wet_as_soon_as_it_rains_and_dry_only_when_it_is_over(self) -> None:
        gauge = a_sensor("Gauge", "Yard", outdoors=True)
        self.a_day_of_rain(gauge, until_h=8)
        assert self.days() == []
        self.a_day_of_rain(gauge, mm=3.0, until_h=9)
        assert self.days() == [("Yard", START.date(), False, 3.0)]

    def test_the_days_are_those_of_the_shops_time_zone(self) -> None:
        Shop.objects.create(pk=1, time_zone="Asia/Tokyo")
        gauge = a_sensor("Gauge", "Yard", outdoors=True)
        take_in(sensor=gauge, now=NOW, rain=[Rain(at=START + timedelta(hours=16), rain_mm=5.0)])
        assert self.days() == [("Yard", date(2026, 6, 2), False, 5.0)]

    def test_what_was_said_by_hand_stays(self) -> None:
        gauge = a_sensor("Gauge", "Yard", outdoors=True)
        WeatherDay.objects.create(zone=gauge.zone, day=START.date(), dry=True)
        self.a_day_of_rain(gauge, mm=9.0)
        assert self.days() == [("Yard", START.date(), True, None)]

    def test_the_same_rain_again_is_not_added_up(self) -> None:
        gauge = a_sensor("Gauge", "Yard", outdoors=True)
        self.a_day_of_rain(gauge, mm=0.15)
        self.a_day_of_rain(gauge, mm=0.15)
        assert RainFall.objects.count() == 26
        assert self.days() == [("Yard", START.date(), True, 0.15)]

    def test_of_two_gauges_the_wetter_one_is_believed(self) -> None:
        one, other = a_sensor("G1", "Yard", outdoors=True), a_sensor("G2", "Yard")
        self.a_day_of_rain(one)
        self.a_day_of_rain(other, mm=2.0)
        self.a_day_of_rain(one)
        assert self.days() == [("Yard", START.date(), False, 2.0)]

    def test_a_late_reading_can_still_make_a_dry_day_wet(self) -> None:
        gauge = a_sensor("Gauge", "Yard", outdoors=True)
        self.a_day_of_rain(gauge)
        take_in(sensor=gauge, now=NOW, rain=[Rain(at=START + timedelta(hours=9, minutes=5), rain_mm=4.0)])
        assert self.days() == [("Yard", START.date(), False, 4.0)]

    def test_another_amount_for_the_same_moment_is_refused(self) -> None:
        gauge = a_sensor("Gauge", "Yard", outdoors=True)
        self.a_day_of_rain(gauge)
        _, rain = take_in(sensor=gauge, now=NOW, rain=[Rain(at=START, rain_mm=1.0)])
        assert (rain.recorded, list(rain.conflicts)) == (0, [0])


SENT = st.lists(st.tuples(st.integers(0, 12), st.sampled_from([20.0, 20.5])), max_size=12)


class TestSentInAnyWay(TestCase):
    @given(st.lists(SENT, max_size=5))
    def test_in_whatever_batches_readings_come_each_moment_is_there_once_with_its_first_value(
        self, batches: Iterable[list[tuple[int, float]]]
    ) -> None:
        sensor = a_sensor(f"S{Sensor.objects.count()}")
        expected: dict[int, float] = {}
        for batch in batches:
            taken = send(sensor, *(at(60 * n, air_c) for n, air_c in batch))
            assert taken.recorded + taken.repeated + len(taken.conflicts) == len(batch)
            for n, air_c in batch:
                expected.setdefault(n, air_c)
        rows = Reading.objects.filter(sensor=sensor).values_list("at", "air_c")
        assert {int((when - START).total_seconds() // 3600): air_c for when, air_c in rows} == expected


HALF_HOURS = st.integers(1, 40)
STRETCHES = st.lists(
    st.tuples(
        st.sampled_from(["alive", "jumped", "swinging", "stuck", "pegged", "damp"]), HALF_HOURS, st.integers(1, 16)
    ),
    min_size=1,
    max_size=6,
)


def a_log(stretches: list[tuple[str, int, int]]) -> list[Sample]:
    """Readings every half hour in stretches of each kind, with a gap of some half hours after each stretch."""
    reads, n = [], 0
    for kind, count, gap in stretches:
        for k in range(count):
            air_c = {"jumped": 44.0, "swinging": 18.0 + 13 * (k % 2), "stuck": 22.0, "damp": 22.0}.get(kind, 18.0)
            rh_pct = {"pegged": 62.0, "stuck": 41.0, "damp": 40.0 + 2 * k}.get(kind, 50.0 + k % 4)
            alive = 0.0 if kind in ("stuck", "damp") else (n % 9) * 0.6
            reads.append(at(30 * n, round(air_c + alive, 1), min(rh_pct, 100.0)))
            n += 1
        n += gap
    return reads


class TestFoundAlike(TestCase):
    """However a sensor's readings come, the same is found of them."""

    @settings(max_examples=60, deadline=None)
    @given(STRETCHES, st.randoms(use_true_random=False), st.integers(1, 90))
    def test_in_batches_and_out_of_order_the_same_readings_are_flagged(
        self, stretches: list[tuple[str, int, int]], dice: Random, size: int
    ) -> None:
        reads = a_log(stretches)
        shed, at_once, in_parts, mixed = (a_sensor(f"S{uuid4()}", zone) for zone in ("Shed", "A", "B", "C"))
        send(shed, *(at(60 * n, 10.0 + n % 24 / 2, 50.0 + n % 7) for n in range(200)))
        send(at_once, *reads)
        self.send_by(in_parts, reads, size)
        shuffled = reads[:]
        dice.shuffle(shuffled)
        self.send_by(mixed, shuffled, size)
        assert flags(in_parts) == flags(at_once)
        assert flags(mixed) == flags(at_once)

    def send_by(self, sensor: Sensor, reads: list[Sample], size: int) -> None:
        for first in range(0, len(reads), size):
            send(sensor, *reads[first : first + size])


def flags(sensor: Sensor) -> list[tuple[str, bool]]:
    return list(Reading.objects.filter(sensor=sensor).order_by("at").values_list("flag", "out"))
