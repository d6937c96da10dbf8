from typing import Any

import pytest

from stages.audit import differences
from stages.engine.errors import EngineError
from stages.models import CoatOn, Entry
from stages.services import bench, notes
from stages.services.air import record_weather
from tests.factories import a_hull, a_shop, hand, product, station, the_shop_owner
from tests.stages.services.at_bench import (
    a_hull_at,
    a_hull_with_sanded_primer,
    days_ago,
    lines,
    prime,
    rules,
    work,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop() -> None:
    a_shop()


# -- moves


def test_a_hull_takes_the_first_free_place() -> None:
    one, two, three = (a_hull(tag) for tag in ("H-1", "H-2", "H-3"))
    to = station("wood")
    assert notes.move_hull(hull_id=one.pk, station=to.pk, hand=hand()).done
    assert notes.move_hull(hull_id=two.pk, station=to.pk, hand=hand()).done
    assert [work(hull).place for hull in (one, two)] == [1, 2]
    assert rules(notes.move_hull(hull_id=three.pk, station=to.pk, hand=hand())) == {"place"}
    notes.move_hull(hull_id=one.pk, station=station("rack").pk, hand=hand())
    assert notes.move_hull(hull_id=three.pk, station=to.pk, hand=hand()).done
    assert work(three).place == 1


def test_no_override_puts_two_hulls_on_one_place() -> None:
    one, two, three = (a_hull(tag) for tag in ("H-1", "H-2", "H-3"))
    for hull in (one, two):
        notes.move_hull(hull_id=hull.pk, station=station("wood").pk, hand=hand())
    who = hand(by=the_shop_owner(), override="squeeze it in")
    assert rules(notes.move_hull(hull_id=three.pk, station=station("wood").pk, hand=who)) == {"place"}


@pytest.mark.parametrize(("place", "good"), [(1, False), (2, True), (3, False), (-1, False)])
def test_a_place_that_is_asked_for_must_be_free_and_exist(place: int, good: bool) -> None:
    a, b = a_hull("H-1"), a_hull("H-2")
    notes.move_hull(hull_id=a.pk, station=station("wood").pk, place=1, hand=hand())
    ask: dict[str, Any] = {"hull_id": b.pk, "station": station("wood").pk, "place": place, "hand": hand()}
    if good:
        assert notes.move_hull(**ask).done
        assert work(b).place == place
    else:
        with pytest.raises(EngineError) as caught:
            notes.move_hull(**ask)
        assert caught.value.field == "place"


def test_a_station_that_the_shop_has_not_is_refused() -> None:
    with pytest.raises(EngineError) as caught:
        notes.move_hull(hull_id=a_hull().pk, station=987, hand=hand())
    assert caught.value.field == "station"


def test_who_moves_it_second_sees_that_it_stands_there() -> None:
    hull = a_hull()
    first = notes.move_hull(hull_id=hull.pk, station=station("wood").pk, hand=hand())
    again = notes.move_hull(hull_id=hull.pk, station=station("wood").pk, hand=hand())
    assert again.already == first.entry
    assert notes.move_hull(hull_id=hull.pk, station=station("wood").pk, place=2, hand=hand()).done


def test_a_move_written_down_late_needs_no_place_now() -> None:
    mover, a, b = a_hull_at("finishing", "H-1"), a_hull("H-2"), a_hull("H-3")
    for hull in (a, b):
        notes.move_hull(hull_id=hull.pk, station=station("yard").pk, hand=hand())
    late = hand(at=days_ago(30))
    notes.move_hull(hull_id=mover.pk, station=station("rack").pk, hand=hand(at=days_ago(10)))
    assert notes.move_hull(hull_id=mover.pk, station=station("yard").pk, hand=late).done
    assert (work(mover).station, work(mover).place) == (station("rack"), 1)
    assert list(differences()) == []


def test_striking_a_move_sends_the_hull_back_if_its_place_is_free() -> None:
    hull, other = a_hull_at("wood", "H-1"), a_hull("H-2")
    moved = notes.move_hull(hull_id=hull.pk, station=station("rack").pk, hand=hand())
    assert moved.entry is not None
    notes.move_hull(hull_id=other.pk, station=station("wood").pk, place=1, hand=hand())
    strike: dict[str, Any] = {"hull_id": hull.pk, "number": moved.entry.number, "reason": "it never moved"}
    assert rules(notes.strike_entry(**strike, hand=hand())) == {"place"}
    notes.move_hull(hull_id=other.pk, station=station("wood").pk, place=2, hand=hand())
    assert notes.strike_entry(**strike, hand=hand()).done
    assert (work(hull).station, work(hull).place) == (station("wood"), 1)


def test_treated_canvas_is_not_moved_in_before_it_has_aired() -> None:
    hull, boss = a_hull_at("yard"), the_shop_owner()
    said = "on old canvas, a trial"
    bench.start_stage(hull_id=hull.pk, stage="preserve", hand=hand(by=boss, at=days_ago(8), override=said))
    ask: dict[str, Any] = {
        "hull_id": hull.pk,
        "stage": "preserve",
        "product": product("preservative").pk,
        "surface": "skin",
    }
    assert bench.apply_coat(**ask, hand=hand(by=boss, at=days_ago(8), override=said)).done
    yard = station("yard").zone
    inside: dict[str, Any] = {"hull_id": hull.pk, "station": station("filler").pk}
    for n in (7, 6, 5, 4):
        record_weather(zone=yard, day=days_ago(n).date(), dry=True)
    record_weather(zone=yard, day=days_ago(3).date(), dry=False)
    assert rules(notes.move_hull(**inside, hand=hand())) == {"outdoors"}
    record_weather(zone=yard, day=days_ago(2).date(), dry=True)
    assert notes.move_hull(**inside, hand=hand()).done


# -- survey and finds


def test_damage_found_on_the_way_opens_a_finished_step_again() -> None:
    hull = a_hull_at("wood")
    for key in ("survey", "estimate", "unfit", "uncanvas", "strip_inside", "wash"):
        bench.leave_out(hull_id=hull.pk, stage=key, reason="done", hand=hand(at=days_ago(9)))
    notes.write_survey(hull_id=hull.pk, counts={"ribs": 2}, conditions={}, hand=hand(at=days_ago(9)))
    bench.start_stage(hull_id=hull.pk, stage="ribs", hand=hand(at=days_ago(8)))
    assert bench.finish_stage(hull_id=hull.pk, stage="ribs", hand=hand(at=days_ago(7))).done
    bench.start_stage(hull_id=hull.pk, stage="fair", hand=hand(at=days_ago(6)))
    assert notes.add_find(hull_id=hull.pk, damage="ribs", count=1, hand=hand(at=days_ago(5))).done
    assert work(hull).facts["counts"] == {"ribs": 3}
    assert work(hull).stage_states.get(stage="ribs").finished_at is None
    refused = bench.finish_stage(hull_id=hull.pk, stage="fair", hand=hand(at=days_ago(4)))
    assert rules(refused) == {"order"}
    assert bench.finish_stage(hull_id=hull.pk, stage="ribs", hand=hand(at=days_ago(4))).done
    assert bench.finish_stage(hull_id=hull.pk, stage="fair", hand=hand(at=days_ago(4))).done


def test_one_more_seat_to_cane_does_not_take_the_boat_apart_again() -> None:
    hull = a_hull_at("strip")
    for key in ("survey", "estimate"):
        bench.leave_out(hull_id=hull.pk, stage=key, reason="done", hand=hand(at=days_ago(9)))
    bench.start_stage(hull_id=hull.pk, stage="unfit", hand=hand(at=days_ago(8)))
    bench.finish_stage(hull_id=hull.pk, stage="unfit", hand=hand(at=days_ago(8)))
    notes.add_find(hull_id=hull.pk, damage="seats", count=1, hand=hand())
    assert work(hull).stage_states.get(stage="unfit").finished_at is not None


@pytest.mark.parametrize(
    ("counts", "conditions", "field"),
    [
        ({"ribs": -1}, {}, "ribs"),
        ({"ribs": 501}, {}, "ribs"),
        ({"knees": 1}, {}, "knees"),
        ({}, {"keelson": "sound"}, "keelson"),
        ({}, {"inside": "ugly"}, "inside"),
    ],
)
def test_a_survey_that_cannot_be_is_refused(counts: Any, conditions: Any, field: str) -> None:
    hull = a_hull()
    with pytest.raises(EngineError) as caught:
        notes.write_survey(hull_id=hull.pk, counts=counts, conditions=conditions, hand=hand())
    assert caught.value.field == field
    assert lines(hull) == ["1 arrived"]


@pytest.mark.parametrize("count", [0, 500])
def test_a_survey_counts_from_none_to_five_hundred(count: int) -> None:
    assert notes.write_survey(hull_id=a_hull().pk, counts={"ribs": count}, conditions={}, hand=hand()).done


@pytest.mark.parametrize(
    ("damage", "count", "field"), [("knees", 1, "damage"), ("ribs", 0, "count"), ("ribs", 501, "count")]
)
def test_a_find_that_cannot_be_is_refused(damage: str, count: int, field: str) -> None:
    with pytest.raises(EngineError) as caught:
        notes.add_find(hull_id=a_hull().pk, damage=damage, count=count, hand=hand())
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("pct", "good"), [(1.9, False), (2.0, True), (120.0, True), (120.1, False), (float("nan"), False), (-5.0, False)]
)
def test_wood_moisture_runs_from_2_to_120(pct: float, good: bool) -> None:
    hull = a_hull()
    if good:
        assert notes.record_moisture(hull_id=hull.pk, moisture_pct=pct, hand=hand()).done
    else:
        with pytest.raises(EngineError) as caught:
            notes.record_moisture(hull_id=hull.pk, moisture_pct=pct, hand=hand())
        assert caught.value.field == "moisture_pct"


@pytest.mark.parametrize("text", ["", " \n ", "x" * 4001, "a\x00b", "a\x9fb", "a\ud800b"])
def test_a_note_that_no_page_can_show_is_refused(text: str) -> None:
    with pytest.raises(EngineError) as caught:
        notes.write_note(hull_id=a_hull().pk, text=text, hand=hand())
    assert caught.value.field == "text"


def test_a_note_keeps_its_markup_lines_and_letters() -> None:
    text = "<b>Rot</b>\nin the stem, 4\u00bd\u2033 — é 木"
    done = notes.write_note(hull_id=a_hull().pk, text=text, hand=hand())
    assert done.entry is not None
    assert Entry.objects.get(pk=done.entry.pk).details["text"] == text


def test_a_note_is_about_a_step_of_the_hulls_route_or_about_none() -> None:
    hull = a_hull()
    assert notes.write_note(hull_id=hull.pk, text="a", stage="oil", hand=hand()).done
    with pytest.raises(EngineError) as caught:
        notes.write_note(hull_id=hull.pk, text="a", stage="polish", hand=hand())
    assert caught.value.field == "stage"


# -- strikes


def test_a_line_that_others_lean_on_is_not_struck_and_they_are_named() -> None:
    hull = a_hull_with_sanded_primer()
    assert prime(hull, days_ago(18)).done
    sanded = Entry.objects.get(hull=hull, kind="sanded")
    second = Entry.objects.filter(hull=hull, kind="coat").last()
    assert second is not None
    refused = notes.strike_entry(hull_id=hull.pk, number=sanded.number, reason="not sanded", hand=hand())
    assert refused.refused
    assert str(refused.findings[0].words) == (
        f"“Prime”, line {second.number} of the log, leans on this. The High-build primer, alkyd has not been sanded."
    )
    assert str(refused.findings[0].clears) == f"Strike line {second.number} first."
    assert notes.strike_entry(hull_id=hull.pk, number=second.number, reason="wrong boat", hand=hand()).done
    assert notes.strike_entry(hull_id=hull.pk, number=sanded.number, reason="not sanded", hand=hand()).done
    assert [(coat.layer, coat.sanded_at) for coat in CoatOn.objects.filter(work=hull.pk, surface="skin")] == [(0, None)]
    assert list(differences()) == []


def test_nobody_overrides_what_other_lines_lean_on() -> None:
    hull = a_hull_with_sanded_primer()
    started = Entry.objects.get(hull=hull, kind="started")
    who = hand(by=the_shop_owner(), override="never mind")
    assert notes.strike_entry(hull_id=hull.pk, number=started.number, reason="no", hand=who).refused


@pytest.mark.parametrize("number", [0, 1, 99, -1])
def test_a_line_that_is_not_there_and_the_arrival_are_not_struck(number: int) -> None:
    hull = a_hull()
    with pytest.raises(EngineError) as caught:
        notes.strike_entry(hull_id=hull.pk, number=number, reason="no", hand=hand())
    assert caught.value.field == "number"


def test_a_line_is_struck_once_and_a_strike_never() -> None:
    hull = a_hull()
    notes.write_note(hull_id=hull.pk, text="a", hand=hand())
    assert notes.strike_entry(hull_id=hull.pk, number=2, reason="no", hand=hand()).done
    for number in (2, 3):
        with pytest.raises(EngineError) as caught:
            notes.strike_entry(hull_id=hull.pk, number=number, reason="no", hand=hand())
        assert caught.value.field == "number"


def test_a_strike_needs_a_reason() -> None:
    hull = a_hull()
    notes.write_note(hull_id=hull.pk, text="a", hand=hand())
    with pytest.raises(EngineError) as caught:
        notes.strike_entry(hull_id=hull.pk, number=2, reason=" ", hand=hand())
    assert caught.value.field == "reason"
