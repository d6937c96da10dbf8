"""Place. Which station a step needs is common practice, no published source."""

from stages.engine.vocab import ProductKind, StationKind, Surface
from tests.stages.engine.trade import (
    a_coat,
    a_route,
    a_stage,
    a_work,
    a_world,
    asking_to_coat,
    asking_to_move,
    asking_to_start,
    refusals,
)

OIL = a_stage("oil", station=StationKind.FINISHING, coats=1, product=ProductKind.OIL, surface=Surface.PLANKING)
ANYWHERE = a_stage("survey")
ROUTE = a_route(OIL, ANYWHERE)


def test_a_step_starts_at_a_station_of_its_kind() -> None:
    assert refusals(a_work(route=ROUTE, at="finishing"), asking_to_start(OIL)) == {}
    assert set(refusals(a_work(route=ROUTE, at="wood"), asking_to_start(OIL))) == {"place"}
    assert set(refusals(a_work(route=ROUTE), asking_to_start(OIL))) == {"place"}


def test_a_step_without_a_station_starts_anywhere() -> None:
    assert refusals(a_work(route=ROUTE), asking_to_start(ANYWHERE)) == {}


def test_a_coat_goes_on_there_too() -> None:
    ask = asking_to_coat("oil", of=OIL)
    assert refusals(a_work(route=ROUTE, at="finishing", started=["oil"]), ask) == {}
    assert set(refusals(a_work(route=ROUTE, at="wood", started=["oil"]), ask)) == {"place"}


def test_what_clears_it_says_whether_a_place_is_free() -> None:
    free = refusals(a_work(route=ROUTE, at="wood"), asking_to_start(OIL))["place"]
    full = refusals(a_work(route=ROUTE, at="wood", world=a_world(full=["finishing"])), asking_to_start(OIL))["place"]
    assert str(free.clears) == "Move it there: a place is free."
    assert str(full.clears) == "Wait for a place there: none is free."


def test_a_hull_is_moved_where_a_place_is_free() -> None:
    world = a_world(full=["trim"])
    assert refusals(a_work(at="rack", world=world), asking_to_move("wood", world=world)) == {}
    found = refusals(a_work(at="rack", world=world), asking_to_move("trim", world=world))
    assert set(found) == {"place"}


def test_no_reason_makes_room_on_a_full_rail() -> None:
    world = a_world(full=["trim"])
    move = asking_to_move("trim", world=world)
    assert refusals(a_work(at="rack", world=world), move)["place"].safety
    assert not refusals(a_work(route=ROUTE, at="wood"), asking_to_start(OIL))["place"].safety


def test_a_coat_that_belongs_to_no_step_needs_no_station() -> None:
    assert refusals(a_work(coats=[a_coat("latex_filler")]), asking_to_coat("primer")) == {}
