from dataclasses import replace
from datetime import timedelta

import pytest

from stages.engine.assess import StageStatus, assess, headline
from stages.engine.label import Dryness
from stages.engine.route import DryNeed
from stages.engine.state import StageRecord
from stages.engine.vocab import Action, Condition, Gate, ProductKind, State, StationKind, Surface
from stages.engine.work import Work
from tests.stages.engine.trade import (
    NOW,
    YARD,
    a_coat,
    a_route,
    a_stage,
    a_work,
    a_world,
    dry_days,
    later,
    steady,
    the_route,
)

PRIME = a_stage(
    "prime", coats=2, product=ProductKind.PRIMER, surface=Surface.SKIN, station=StationKind.FINISHING, hours_fixed=2.0
)
PAINT = a_stage("paint", coats=2, product=ProductKind.ENAMEL, surface=Surface.SKIN, after=("prime",))
VARNISH = a_stage(
    "varnish", coats=2, product=ProductKind.VARNISH, surface=Surface.BRIGHTWORK, gates=frozenset({Gate.RAGS})
)
FILLED = a_coat("latex_filler")


def on_bench(coats_on: int, **more: object) -> StageRecord:
    return StageRecord(started_at=NOW - timedelta(days=9), coats_on=coats_on, **more)  # type: ignore[arg-type]


def told(work: Work, key: str) -> StageStatus:
    return next(status for status in assess(work, NOW) if status.spec.key == key)


def prime(work: Work) -> StageStatus:
    return told(work, "prime")


def at_prime(coats_on: int | None, *coats: object, at: str = "finishing", **more: object) -> Work:
    records = {} if coats_on is None else {"prime": on_bench(coats_on)}
    return a_work(route=a_route(PRIME, PAINT), coats=[FILLED, *coats], at=at, records=records, **more)  # type: ignore[arg-type,list-item]


def test_every_stage_of_the_route_is_told_in_the_routes_order() -> None:
    assert [status.spec for status in assess(a_work(), NOW)] == list(the_route().stages)


def test_a_stage_waits_for_the_one_before_it() -> None:
    paint = told(at_prime(1), "paint")
    assert (paint.state, paint.next, paint.hands) == (State.WAITING, None, False)
    assert [finding.rule for finding in paint.findings] == ["order"]


def test_a_stage_at_its_station_is_ready_to_start() -> None:
    status = prime(at_prime(None))
    assert (status.state, status.next, status.hands, status.hours) == (State.READY, Action.START, True, 2.0)


def test_a_stage_elsewhere_is_ready_by_a_move() -> None:
    status = prime(at_prime(None, at="wood"))
    assert (status.state, status.next, status.hands) == (State.READY, Action.MOVE, True)
    assert status.move_to is not None
    assert status.move_to.kind is StationKind.FINISHING


def test_a_stage_elsewhere_waits_where_no_place_is_free() -> None:
    status = prime(at_prime(None, at="wood", world=a_world(full=["finishing"])))
    assert (status.state, status.next, status.move_to) == (State.WAITING, None, None)
    assert [finding.rule for finding in status.findings] == ["place"]


def test_a_hull_that_may_not_be_moved_yet_says_why() -> None:
    treated = [a_coat("canvas"), a_coat("preservative", hours_ago=24 * 7, zone=YARD)]
    work = a_work(route=a_route(PRIME), coats=treated, at="yard", world=a_world(dry=dry_days(6, 5)))
    status = prime(work)
    assert (status.state, status.hands) == (State.WAITING, False)
    assert [finding.rule for finding in status.findings] == ["outdoors"]


def test_a_hull_that_was_moved_away_in_the_middle_is_moved_back() -> None:
    status = prime(at_prime(1, a_coat("primer", sanded=True), at="wood"))
    assert (status.state, status.next, status.hands) == (State.ON_BENCH, Action.MOVE, True)
    full = prime(at_prime(1, a_coat("primer", sanded=True), at="wood", world=a_world(full=["finishing"])))
    assert (full.state, full.hands) == (State.ON_BENCH, False)


def test_on_the_bench_the_first_coat_comes_next() -> None:
    status = prime(at_prime(0))
    assert (status.state, status.next, status.hands) == (State.ON_BENCH, Action.COAT, True)


def test_while_a_coat_dries_the_ring_says_how_far_and_until_when() -> None:
    status = prime(at_prime(1, a_coat("primer", hours_ago=4)))
    assert (status.state, status.next, status.hands) == (State.DRYING, None, False)
    assert status.drying is not None
    assert status.drying.dryness is Dryness.SAND
    assert status.drying.share == pytest.approx(4 / 16)
    assert status.drying.at == status.earliest == later(12)
    assert not status.drying.assumed


def test_a_coat_that_stands_still_has_no_time() -> None:
    status = prime(at_prime(1, a_coat("primer", hours_ago=4), world=a_world(air=steady(air_c=4.0))))
    assert status.drying is not None
    assert (status.drying.at, status.drying.share, status.earliest) == (None, 0.0, None)


def test_when_it_is_dry_it_is_sanded_and_then_coated() -> None:
    dry = prime(at_prime(1, a_coat("primer", hours_ago=16)))
    assert (dry.state, dry.next, dry.hands) == (State.ON_BENCH, Action.SAND, True)
    sanded = prime(at_prime(1, a_coat("primer", hours_ago=16, sanded=True)))
    assert (sanded.state, sanded.next, sanded.hands) == (State.ON_BENCH, Action.COAT, True)


def test_after_the_last_coat_it_dries_and_is_finished() -> None:
    wet = prime(at_prime(2, a_coat("primer", hours_ago=15.9)))
    dry = prime(at_prime(2, a_coat("primer", hours_ago=16)))
    assert (wet.state, wet.next) == (State.DRYING, None)
    assert wet.drying is not None
    assert wet.drying.dryness is Dryness.HANDLE
    assert (dry.state, dry.next, dry.hands) == (State.ON_BENCH, Action.FINISH, True)


@pytest.mark.parametrize(
    ("record", "state"),
    [
        (StageRecord(started_at=NOW, finished_at=NOW), State.FINISHED),
        (StageRecord(left_out="no"), State.LEFT_OUT),
        (StageRecord(started_at=NOW, left_out="no"), State.LEFT_OUT),
    ],
)
def test_what_is_over_asks_for_nothing(record: StageRecord, state: State) -> None:
    status = prime(a_work(route=a_route(PRIME, PAINT), records={"prime": record}))
    assert (status.state, status.next, status.findings) == (state, None, ())


def test_what_is_not_in_the_plan_is_left_out() -> None:
    keys = {status.spec.key: status.state for status in assess(a_work(choices={"filler": "oil"}), NOW)}
    assert keys["fill_latex"] is State.LEFT_OUT
    assert keys["fill_oil"] is State.WAITING


def test_a_stage_that_laid_bare_what_called_for_it_stays_finished() -> None:
    finished = a_work(finished=["strip_brightwork"])  # its old finish is gone, so none flakes any more
    assert told(finished, "strip_brightwork").state is State.FINISHED


def at_varnish(coats_on: int, *coats: object, due: bool) -> StageStatus:
    records = {"varnish": on_bench(coats_on, rags_due_since=NOW if due else None)}
    return told(a_work(route=a_route(VARNISH), coats=coats, records=records), "varnish")  # type: ignore[arg-type]


@pytest.mark.parametrize(("coats_on", "hours_ago"), [(1, 1), (1, 30), (2, 1), (2, 60)])
def test_rags_come_before_everything_else_also_while_the_coat_dries(coats_on: int, hours_ago: float) -> None:
    """They take fire within hours; the varnish takes a day."""
    coat = a_coat("varnish", hours_ago=hours_ago)
    status = at_varnish(coats_on, coat, due=True)
    assert (status.next, status.hands) == (Action.RAGS, True)
    assert (status.drying is not None) is (hours_ago == 1)
    assert at_varnish(coats_on, coat, due=False).next is not Action.RAGS


def test_before_the_first_coat_there_are_no_rags_yet() -> None:
    assert at_varnish(0, due=True).next is Action.COAT


def test_old_finish_with_lead_is_sanded_wet_and_that_can_be_done_now() -> None:
    work = a_work(route=a_route(VARNISH), records={"varnish": on_bench(0)}, old={Surface.BRIGHTWORK: Condition.SOUND})
    untested = told(work, "varnish")
    assert (untested.next, untested.hands) == (Action.SAND, False)
    assert [finding.rule for finding in untested.findings] == ["lead"]
    tested = told(work.with_state(replace(work.state, lead=True)), "varnish")
    assert (tested.next, tested.hands) == (Action.SAND, True)


def test_preservative_airs_after_it_has_dried() -> None:
    preserve = a_stage("preserve", coats=1, product=ProductKind.PRESERVATIVE, surface=Surface.SKIN)
    coats = [a_coat("canvas"), a_coat("preservative", hours_ago=24 * 7, zone=YARD)]
    records = {"preserve": on_bench(1)}

    def status(*days_ago: int) -> StageStatus:
        world = a_world(dry=dry_days(*days_ago))
        work = a_work(route=a_route(preserve), coats=coats, records=records, at="yard", world=world)
        return told(work, "preserve")

    assert (status(6, 5, 4, 3).state, status(6, 5, 4, 3).hands) == (State.DRYING, False)
    assert (status(6, 5, 4, 3, 2).next, status(6, 5, 4, 3, 2).hands) == (Action.FINISH, True)


def test_a_stage_waits_for_a_surface_to_dry_and_shows_its_ring() -> None:
    refit = a_stage("refit", needs=(DryNeed(surface=Surface.SKIN, dryness=Dryness.HANDLE),))
    status = told(a_work(route=a_route(refit), coats=[a_coat("enamel", hours_ago=12)]), "refit")
    assert (status.state, status.next) == (State.WAITING, None)
    assert status.drying is not None
    assert status.drying.share == pytest.approx(12 / 48)
    assert status.earliest == later(36)


def test_a_step_whose_first_coat_would_lie_on_a_wet_one_waits_for_it() -> None:
    filled = a_coat("latex_filler", hours_ago=12)
    status = prime(a_work(route=a_route(PRIME), coats=[filled], at="finishing"))
    assert (status.state, status.next) == (State.WAITING, None)
    assert status.drying is not None
    assert status.drying.dryness is Dryness.TOPCOAT
    assert status.drying.share == pytest.approx(12 / 48)


def test_the_headline_is_what_hands_can_do_then_what_is_in_hand_then_what_waits() -> None:
    free, wet = a_stage("free"), at_prime(1, a_coat("primer", hours_ago=1))
    route = a_route(PRIME, PAINT, free)
    drying = a_work(route=route, coats=[FILLED, a_coat("primer", hours_ago=1)], records={"prime": on_bench(1)})
    at_it = replace(drying, state=replace(drying.state, stages={**drying.state.stages, "free": on_bench(0)}))
    first = headline(assess(at_it, NOW))
    assert first is not None
    assert first.spec.key == "free"  # in hand, and hands can go on
    second = headline(assess(drying, NOW))
    assert second is not None
    assert second.spec.key == "prime"  # in hand goes before what could be started
    waiting = headline(assess(wet, NOW))
    assert waiting is not None
    assert waiting.spec.key == "prime"


def test_a_boat_that_is_done_has_no_headline() -> None:
    assert headline(assess(a_work(finished=[spec.key for spec in the_route().stages]), NOW)) is None
