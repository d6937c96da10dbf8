"""What holds for every service, since all of them write through one door."""

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.models import Pulse
from stages.audit import differences
from stages.engine.errors import EngineError
from stages.models import CoatOn, Entry, HullWork, StageState
from stages.services import bench, notes
from stages.services.record import CLOCK_SLACK
from tests.at_work import finish
from tests.factories import a_crew_member, a_hull, a_shop, hand, product, station, the_shop_owner
from tests.stages.services.at_bench import (
    a_hull_at,
    a_hull_with_sanded_primer,
    days_ago,
    lines,
    prime,
    rules,
    sand,
    work,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop() -> None:
    a_shop()


# -- overrides


def test_a_refusal_is_overridden_by_the_shops_owner_with_a_reason_that_stays() -> None:
    hull = a_hull_at("finishing")
    start: dict[str, Any] = {"hull_id": hull.pk, "stage": "prime"}
    assert rules(bench.start_stage(**start, hand=hand(by=the_shop_owner()))) == {"order"}
    done = bench.start_stage(**start, hand=hand(by=the_shop_owner(), override="  the owner stripped it  "))
    assert done.entry is not None
    assert done.entry.details["overrides"] == [
        {
            "rule": "order",
            "words": "“Fill with latex filler” comes before “Prime”.",
            "said": {
                "text": "“%(first)s” comes before “%(stage)s”.",
                "values": {"first": "Fill with latex filler", "stage": "Prime"},
            },
            "reason": "the owner stripped it",
        }
    ]


def test_the_crew_overrides_nothing() -> None:
    hull = a_hull_at("finishing")
    outcome = bench.start_stage(hull_id=hull.pk, stage="prime", hand=hand(override="I think so"))
    assert (outcome.done, outcome.refused, rules(outcome)) == (False, True, {"order"})
    assert lines(hull) == ["1 arrived", "2 moved"]


def test_a_blank_reason_overrides_nothing() -> None:
    hull = a_hull_at("finishing")
    outcome = bench.start_stage(hull_id=hull.pk, stage="prime", hand=hand(by=the_shop_owner(), override="   "))
    assert outcome.refused


@pytest.mark.parametrize(("letters", "done"), [(400, True), (401, False)])
def test_a_reason_has_an_end(letters: int, done: bool) -> None:
    hull = a_hull_at("finishing")
    who = hand(by=the_shop_owner(), override="x" * letters)
    if done:
        assert bench.start_stage(hull_id=hull.pk, stage="prime", hand=who).done
    else:
        with pytest.raises(EngineError) as caught:
            bench.start_stage(hull_id=hull.pk, stage="prime", hand=who)
        assert caught.value.field == "override"


def test_where_nothing_refuses_no_override_is_kept() -> None:
    hull = a_hull_at("rack")
    outcome = bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand(by=the_shop_owner(), override="just so"))
    assert outcome.entry is not None
    assert "overrides" not in outcome.entry.details


def test_nobody_overrides_the_lead_rule() -> None:
    hull = a_hull_at("strip")
    for key in ("survey", "estimate", "unfit"):
        bench.leave_out(hull_id=hull.pk, stage=key, reason="done", hand=hand())
    start: dict[str, Any] = {"hull_id": hull.pk, "stage": "uncanvas"}
    who = hand(by=the_shop_owner(), override="it is new paint")
    assert rules(bench.start_stage(**start, hand=who)) == {"lead"}
    notes.record_lead_test(hull_id=hull.pk, positive=True, hand=hand())
    who = hand(by=the_shop_owner(), override="we are careful")
    assert rules(bench.start_stage(**start, hand=who)) == {"lead"}
    assert bench.start_stage(**start, wet_method=True, hand=hand()).done


def test_nobody_overrides_the_rags_not_even_beside_another_rule() -> None:
    hull = a_hull_at("finishing")
    owner = the_shop_owner()
    assert bench.start_stage(hull_id=hull.pk, stage="oil", hand=hand(by=owner, override="a trial")).done
    outcome = bench.finish_stage(hull_id=hull.pk, stage="oil", hand=hand(by=owner, override="a trial"))
    assert rules(outcome) == {"coats", "order", "rags"}
    assert outcome.refused
    bench.deal_with_rags(hull_id=hull.pk, stage="oil", hand=hand())
    assert bench.finish_stage(hull_id=hull.pk, stage="oil", hand=hand(by=owner, override="a trial")).done


# -- the same request twice, and somebody faster


def test_the_same_number_twice_is_one_line() -> None:
    hull = a_hull_at("rack")
    who = hand()
    first = notes.write_note(hull_id=hull.pk, text="rot in the stem", hand=who)
    again = notes.write_note(hull_id=hull.pk, text="rot in the stem", hand=who)
    assert (first.repeated, again.repeated) == (False, True)
    assert first.entry == again.entry
    assert lines(hull) == ["1 arrived", "2 moved", "3 note"]


def test_a_number_that_was_sent_about_another_boat_is_refused() -> None:
    one, other = a_hull_at("rack", "H-1"), a_hull_at("rack", "H-2")
    who = hand()
    notes.write_note(hull_id=one.pk, text="rot", hand=who)
    with pytest.raises(EngineError) as caught:
        notes.write_note(hull_id=other.pk, text="rot", hand=who)
    assert caught.value.field == "client_id"
    assert lines(other) == ["1 arrived", "2 moved"]


def test_who_comes_second_sees_who_was_first() -> None:
    hull = a_hull_at("rack")
    ines = a_crew_member("ines")
    first = bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand(by=ines))
    second = bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand())
    assert (second.done, second.refused, second.already) == (False, False, first.entry)
    assert second.already is not None
    assert second.already.by == ines
    done = bench.finish_stage(hull_id=hull.pk, stage="survey", hand=hand())
    assert bench.finish_stage(hull_id=hull.pk, stage="survey", hand=hand()).already == done.entry
    assert lines(hull) == ["1 arrived", "2 moved", "3 started", "4 finished"]


# -- time


def test_a_line_written_down_late_is_judged_as_of_its_time() -> None:
    hull = a_hull_with_sanded_primer()
    assert rules(prime(hull, days_ago(19, hours=12))) == {"dry", "sand_between"}  # before it was sanded
    assert prime(hull, days_ago(18)).done


def test_a_coat_written_down_late_dries_in_the_air_where_the_hull_stood_then() -> None:
    hull = a_hull_with_sanded_primer()
    notes.move_hull(hull_id=hull.pk, station=station("yard").pk, hand=hand(at=days_ago(10)))
    assert prime(hull, days_ago(18)).done
    top = CoatOn.objects.filter(work=hull.pk, surface="skin").order_by("layer").last()
    assert top is not None
    assert top.zone == station("finishing").zone


def test_a_line_between_others_is_refused_where_they_lean_on_it() -> None:
    hull = a_hull_with_sanded_primer()
    assert prime(hull, days_ago(15)).done
    assert sand(hull, days_ago(14)).done
    between = prime(hull, days_ago(15, hours=-20))  # would be sanded instead of the one that was
    assert between.refused
    found = notes.add_find(hull_id=hull.pk, damage="ribs", count=2, hand=hand(at=days_ago(25)))
    assert rules(found) == {"order"}
    assert f"line {Entry.objects.filter(hull=hull, kind='started').get().number} of the log" in str(
        found.findings[0].words
    )


def test_a_time_to_come_is_refused_a_few_minutes_of_a_wrong_clock_aside() -> None:
    hull = a_hull_at("rack")
    now = timezone.now()
    assert notes.write_note(hull_id=hull.pk, text="a", hand=hand(at=now + CLOCK_SLACK - timedelta(seconds=30))).done
    with pytest.raises(EngineError) as caught:
        notes.write_note(hull_id=hull.pk, text="a", hand=hand(at=now + CLOCK_SLACK + timedelta(seconds=30)))
    assert caught.value.field == "at"


def test_a_time_before_the_hull_arrived_is_refused() -> None:
    arrived = days_ago(3)
    hull = a_hull(arrived=arrived)
    assert notes.write_note(hull_id=hull.pk, text="a", hand=hand(at=arrived)).done
    with pytest.raises(EngineError) as caught:
        notes.write_note(hull_id=hull.pk, text="a", hand=hand(at=arrived - timedelta(seconds=1)))
    assert caught.value.field == "at"


# -- hand-over


def hand_it_over(at_days_ago: float = 1.0) -> HullWork:
    hull = a_hull_at("rack")
    for key in work(hull).route.stages.exclude(key="hand_over").values_list("key", flat=True):
        bench.leave_out(hull_id=hull.pk, stage=key, reason="nothing to do", hand=hand(at=days_ago(5)))
    assert finish(hull_id=hull.pk, stage="hand_over", hand=hand(at=days_ago(at_days_ago))).done
    return work(hull)


def test_a_boat_that_was_handed_over_is_closed_but_for_notes() -> None:
    row = hand_it_over()
    assert (row.station, row.place, row.handed_over_at) == (None, None, days_ago(1))
    with pytest.raises(EngineError, match="was handed over"):
        notes.move_hull(hull_id=row.pk, station=station("rack").pk, hand=hand())
    with pytest.raises(EngineError, match="was handed over"):
        bench.put_back(hull_id=row.pk, stage="survey", hand=hand(at=days_ago(3)))
    assert notes.write_note(hull_id=row.pk, text="they sent a card", hand=hand()).done


def test_a_hand_over_cannot_lie_before_work_on_record() -> None:
    row = hand_it_over()
    finished = Entry.objects.get(hull=row.pk, kind="finished")
    notes.strike_entry(hull_id=row.pk, number=finished.number, reason="not yet", hand=hand())
    notes.record_moisture(hull_id=row.pk, moisture_pct=12, hand=hand(at=days_ago(0.5)))
    with pytest.raises(EngineError, match="on record after that time"):
        finish(hull_id=row.pk, stage="hand_over", hand=hand(at=days_ago(1)))
    assert finish(hull_id=row.pk, stage="hand_over", hand=hand()).done


def test_striking_a_hand_over_puts_the_boat_back_on_its_place_if_that_is_free() -> None:
    row = hand_it_over()
    finished = Entry.objects.get(hull=row.pk, kind="finished")
    strike: dict[str, Any] = {"hull_id": row.pk, "number": finished.number, "reason": "wrong boat"}
    other = a_hull_at("rack", "H-2")
    refused = notes.strike_entry(**strike, hand=hand())
    assert rules(refused) == {"place"}
    assert "place 1 of rack station" in str(refused.findings[0].words)
    notes.move_hull(hull_id=other.pk, station=station("wood").pk, hand=hand())
    assert notes.strike_entry(**strike, hand=hand()).done
    row.refresh_from_db()
    assert (row.station, row.place) == (station("rack"), 1)
    assert list(differences()) == []


# -- nothing half-written


def test_a_refusal_writes_nothing_at_all() -> None:
    hull = a_hull_with_sanded_primer()
    before = (lines(hull), work(hull).lines, Pulse.now().beat, list(StageState.objects.values()))
    assert bench.finish_stage(hull_id=hull.pk, stage="prime", hand=hand()).refused
    assert (lines(hull), work(hull).lines, Pulse.now().beat, list(StageState.objects.values())) == before


def test_every_write_beats_the_pulse() -> None:
    hull = a_hull_at("rack")
    before = Pulse.now().beat
    notes.write_note(hull_id=hull.pk, text="a", hand=hand())
    assert Pulse.now().beat != before


def test_a_write_takes_as_many_queries_on_a_long_log_as_on_a_short_one(django_assert_num_queries) -> None:  # type: ignore[no-untyped-def]
    hull = a_hull_at("rack")
    notes.write_note(hull_id=hull.pk, text="the set-up is read once", hand=hand())
    with CaptureQueriesContext(
        connection,
    ) as short:
        notes.write_note(hull_id=hull.pk, text="short", hand=hand())
    for n in range(40):
        notes.record_moisture(hull_id=hull.pk, moisture_pct=12, hand=hand(at=days_ago(10, hours=-n)))
    with django_assert_num_queries(len(short)):
        notes.write_note(hull_id=hull.pk, text="long", hand=hand())


def test_a_hull_that_is_not_there_is_not_written_about() -> None:
    with pytest.raises(HullWork.DoesNotExist):
        notes.write_note(hull_id=12345, text="a", hand=hand())
    assert Entry.objects.count() == 0


def test_lines_count_up_without_gaps_though_some_are_refused() -> None:
    hull = a_hull_with_sanded_primer()
    prime(hull, days_ago(19, hours=23))
    prime(hull, days_ago(18))
    numbers = [int(line.split()[0]) for line in lines(hull)]
    assert numbers == list(range(1, len(numbers) + 1))
    assert work(hull).lines == len(numbers)
    assert product("primer").name in {coat.product.name for coat in CoatOn.objects.filter(work=hull.pk)}
