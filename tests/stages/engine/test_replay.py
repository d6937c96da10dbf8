from datetime import datetime

import pytest

from stages.engine.log import LogEntry, in_force
from stages.engine.replay import replay
from stages.engine.route import When
from stages.engine.state import HullState
from stages.engine.vocab import Condition, Damage, Gate, ProductKind, Surface
from tests.stages.engine.trade import a_line, a_route, a_stage, later

RIBS = a_stage("ribs", when=When.parse("count:ribs"), counted=Damage.RIBS)
STRIP = a_stage("strip", strips=Surface.INSIDE)
PAINT = a_stage("paint", coats=2, product=ProductKind.ENAMEL, surface=Surface.INSIDE)
OIL = a_stage("oil", gates=frozenset({Gate.RAGS}))
GO = a_stage("hand_over", gates=frozenset({Gate.HAND_OVER}))
ROUTE = a_route(RIBS, STRIP, PAINT, OIL, GO)


def state(*lines: LogEntry) -> HullState:
    return replay(ROUTE, lines)


def coat(number: int, hours: float, **more: object) -> LogEntry:
    return a_line(number, "coat", hours, "paint", **{"product": 10, "surface": "inside", "zone": 1, **more})


def test_lines_count_in_the_order_in_which_things_happened() -> None:
    first, second = (
        a_line(1, "moved", 5.0, station=1, place=1, zone=1),
        a_line(2, "moved", 3.0, station=2, place=1, zone=1),
    )
    assert [stay.station for stay in state(first, second).stays] == [2, 1]
    assert [stay.station for stay in state(second, first).stays] == [2, 1]


def test_lines_of_one_moment_count_in_the_order_in_which_they_were_written() -> None:
    lines = [a_line(n, "moved", 1.0, station=n, place=1, zone=1) for n in (3, 1, 2)]
    assert [stay.station for stay in state(*lines).stays] == [1, 2, 3]


def test_a_struck_line_is_as_if_it_had_never_been_and_so_is_its_strike() -> None:
    lines = (a_line(1, "started", 0.0, "paint"), coat(2, 1.0), coat(3, 2.0))
    strike = a_line(4, "strike", 9.0, "paint", entry=2, reason="wrong boat")
    kept = state(*lines, strike)
    assert [(c.entry, c.number) for c in kept.stack(Surface.INSIDE)] == [(3, 1)]
    assert kept.stage("paint").coats_on == 1
    assert [entry.id for entry in in_force((*lines, strike))] == [1, 3]


def test_sanding_marks_the_outermost_coat_alone() -> None:
    found = state(coat(1, 0.0), coat(2, 1.0), a_line(3, "sanded", 2.0, surface="inside", grit=320))
    assert [(c.sanded_at, c.sanded_grit) for c in found.stack(Surface.INSIDE)] == [(None, None), (later(2.0), 320)]


def test_sanding_twice_counts_the_last_and_striking_that_the_first() -> None:
    lines = (coat(1, 0.0), a_line(2, "sanded", 2.0, surface="inside"), a_line(3, "sanded", 4.0, surface="inside"))
    top = state(*lines).top(Surface.INSIDE)
    assert top is not None
    assert top.sanded_at == later(4.0)
    top = state(*lines, a_line(4, "strike", 5.0, entry=3)).top(Surface.INSIDE)
    assert top is not None
    assert top.sanded_at == later(2.0)


def test_sanding_a_surface_without_coats_is_sanding_its_old_finish() -> None:
    assert state(a_line(1, "sanded", 2.0, surface="inside")).old_sanded == {Surface.INSIDE: later(2.0)}


def test_finishing_a_stage_that_strips_lays_its_surface_bare() -> None:
    lines = [
        a_line(1, "arrived", 0.0, old_finish=["inside", "skin"]),
        a_line(2, "sanded", 1.0, surface="inside"),
        a_line(3, "finished", 2.0, "strip"),
    ]
    found = state(*lines)
    assert found.old_finish == {Surface.SKIN: Condition.UNKNOWN}
    assert found.old_sanded == {}


def test_a_survey_finds_how_old_finishes_hold_but_not_where_there_is_none() -> None:
    lines = [
        a_line(1, "arrived", 0.0, old_finish=["inside"]),
        a_line(2, "survey", 1.0, counts={"ribs": 3}, conditions={"inside": "flaking", "skin": "sound"}),
    ]
    found = state(*lines)
    assert found.old_finish == {Surface.INSIDE: Condition.FLAKING}
    assert found.counts == {Damage.RIBS: 3}


MENDED = (
    a_line(1, "survey", 0.0, counts={"ribs": 3}),
    a_line(2, "started", 1.0, "ribs"),
    a_line(3, "finished", 2.0, "ribs"),
)


@pytest.mark.parametrize(
    ("line", "open_again"),
    [
        (a_line(4, "found", 3.0, damage="ribs", count=1), True),
        (a_line(4, "found", 3.0, damage="decks", count=1), False),
        (a_line(4, "survey", 3.0, counts={"ribs": 4}), True),
        (a_line(4, "survey", 3.0, counts={"ribs": 3}), False),
        (a_line(4, "survey", 3.0, counts={"ribs": 2}), False),
    ],
)
def test_more_damage_than_was_known_opens_its_stage_again(line: LogEntry, open_again: bool) -> None:
    found = state(*MENDED, line)
    assert (found.stage("ribs").finished_at is None) is open_again
    assert found.stage("ribs").started_at == later(1.0)


def test_it_brings_a_stage_back_that_was_left_out() -> None:
    out = (MENDED[0], a_line(2, "left_out", 1.0, "ribs", reason="they hold"))
    assert state(*out).stage("ribs").left_out == "they hold"
    assert state(*out, a_line(3, "found", 3.0, damage="ribs", count=1)).stage("ribs").left_out == ""


def test_finds_add_up_on_the_survey() -> None:
    found = state(
        MENDED[0], a_line(2, "found", 3.0, damage="ribs", count=2), a_line(3, "found", 4.0, damage="ribs", count=1)
    )
    assert found.counts == {Damage.RIBS: 6}


def test_rags_lie_from_the_start_of_an_oily_stage_and_again_after_each_heating_coat() -> None:
    started = a_line(1, "started", 1.0, "oil")
    dealt = a_line(2, "rags", 2.0, "oil")
    again = a_line(3, "coat", 3.0, "oil", product=1, surface="planking", zone=1, self_heating=True)
    plain = a_line(3, "coat", 3.0, "oil", product=1, surface="planking", zone=1)
    due = [
        state(*lines).stage("oil").rags_due_since for lines in ([started], [started, dealt], [started, dealt, again])
    ]
    assert due == [later(1.0), None, later(3.0)]
    assert state(started, dealt, plain).stage("oil").rags_due_since is None


def test_one_positive_lead_test_stays_positive() -> None:
    lines = [a_line(1, "lead_test", 0.0, positive=True), a_line(2, "lead_test", 1.0, positive=False)]
    assert state().lead is None
    assert state(lines[1]).lead is False
    assert state(*lines).lead is True
    assert state(*reversed(lines)).lead is True


def test_a_boat_that_was_handed_over_stands_nowhere() -> None:
    found = state(a_line(1, "moved", 0.0, station=1, place=1, zone=1), a_line(2, "finished", 1.0, "hand_over"))
    assert found.stay is None
    assert found.handed_over_at == later(1.0)


@pytest.mark.parametrize("kind", ["note", "photo", "link"])
def test_lines_that_only_tell_change_nothing(kind: str) -> None:
    assert state(a_line(1, kind, 1.0, text="x")) == HullState()


def test_an_empty_log_adds_up_to_nothing() -> None:
    assert state() == HullState()
    assert isinstance(later(0.0), datetime)
