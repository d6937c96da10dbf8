"""Dry. At the labels' own condition, hours on the wall are hours of the label, so each limit is plain arithmetic."""

from datetime import timedelta

import pytest

from stages.engine.label import Dryness
from stages.engine.route import DryNeed
from stages.engine.rules import judge
from stages.engine.state import StageRecord
from stages.engine.vocab import ProductKind, Severity, Surface
from tests.stages.engine.trade import (
    NOW,
    a_coat,
    a_route,
    a_stage,
    a_stay,
    a_work,
    a_world,
    asking_to_coat,
    asking_to_finish,
    asking_to_move,
    asking_to_sand,
    asking_to_start,
    later,
    product,
    refusals,
    steady,
)

MINUTE = 1 / 60
# Under it, upper one, hours of the label to be covered: from memory, each shop's to change (shop/setup/products.py).
COVERED = [
    ("latex_filler", "primer", 48),
    ("oil_filler", "primer", 840),
    ("primer", "primer", 16),
    ("primer", "enamel", 16),
    ("enamel", "enamel", 16),
    ("sealer", "sealer", 2),
    ("sealer", "varnish", 4),
    ("varnish", "varnish", 18),
    ("preservative", "latex_filler", 72),
]


@pytest.mark.parametrize(("under", "upper", "hours"), COVERED)
def test_a_coat_goes_on_when_the_label_says_so_and_not_a_minute_before(under: str, upper: str, hours: float) -> None:
    above = refusals(a_work(coats=[a_coat(under, hours_ago=hours + MINUTE, sanded=True)]), asking_to_coat(upper))
    at = refusals(a_work(coats=[a_coat(under, hours_ago=hours, sanded=True)]), asking_to_coat(upper))
    below = refusals(a_work(coats=[a_coat(under, hours_ago=hours - MINUTE, sanded=True)]), asking_to_coat(upper))
    assert ("dry" in above, "dry" in at, "dry" in below) == (False, False, True)
    assert below["dry"].earliest == NOW + timedelta(minutes=1)


def test_canvas_goes_on_over_dry_oil_alone() -> None:
    canvas = asking_to_coat("canvas")
    assert refusals(a_work(coats=[a_coat("oil", hours_ago=48)]), canvas) == {}
    assert set(refusals(a_work(coats=[a_coat("oil", hours_ago=48 - MINUTE)]), canvas)) == {"dry"}
    assert set(refusals(a_work(), canvas)) == {"dry"}


def test_canvas_goes_on_over_dry_varnish_too_but_not_over_paint_or_a_sealer() -> None:
    canvas = asking_to_coat("canvas")
    assert refusals(a_work(coats=[a_coat("varnish", on="planking")]), canvas) == {}
    assert set(refusals(a_work(coats=[a_coat("enamel", on="planking")]), canvas)) == {"dry"}
    assert set(refusals(a_work(coats=[a_coat("sealer", on="planking")]), canvas)) == {"dry"}


@pytest.mark.parametrize(("hours", "refused"), [(16 - MINUTE, True), (16, False), (16 + MINUTE, False)])
def test_primer_is_sanded_when_it_can_be(hours: float, refused: bool) -> None:
    work = a_work(coats=[a_coat("primer", hours_ago=hours)])
    assert ("dry" in refusals(work, asking_to_sand("skin"))) is refused


def test_bare_wood_is_sanded_at_any_time() -> None:
    assert refusals(a_work(), asking_to_sand("inside")) == {}


@pytest.mark.parametrize(("hours", "refused"), [(48 - MINUTE, True), (48, False), (48 + MINUTE, False)])
def test_a_step_is_finished_when_its_last_coat_can_be_handled(hours: float, refused: bool) -> None:
    paint = a_stage("paint", surface=Surface.SKIN)
    work = a_work(route=a_route(paint), started=["paint"], coats=[a_coat("enamel", hours_ago=hours)])
    assert ("dry" in refusals(work, asking_to_finish(paint))) is refused


@pytest.mark.parametrize(("hours", "refused"), [(48 - MINUTE, True), (48, False)])
def test_a_step_waits_for_another_surface_where_the_route_says_so(hours: float, refused: bool) -> None:
    refit = a_stage("refit", needs=(DryNeed(surface=Surface.SKIN, dryness=Dryness.HANDLE),))
    work = a_work(route=a_route(refit), coats=[a_coat("enamel", hours_ago=hours)])
    assert ("dry" in refusals(work, asking_to_start(refit))) is refused


@pytest.mark.parametrize(("hours", "refused"), [(48 - MINUTE, True), (48, False)])
def test_a_step_starts_when_its_first_coat_could_go_on(hours: float, refused: bool) -> None:
    prime = a_stage("prime", coats=2, product=ProductKind.PRIMER, surface=Surface.SKIN)
    filled = [a_coat("latex_filler", hours_ago=hours)]
    assert ("dry" in refusals(a_work(route=a_route(prime), coats=filled), asking_to_start(prime))) is refused


def test_a_step_that_has_coats_on_already_does_not_wait_for_them_to_start() -> None:
    prime = a_stage("prime", coats=2, product=ProductKind.PRIMER, surface=Surface.SKIN)
    coats = [a_coat("latex_filler"), a_coat("primer", hours_ago=1)]
    begun = {"prime": StageRecord(coats_on=1)}
    route = a_route(prime)
    assert "dry" in refusals(a_work(route=route, coats=coats), asking_to_start(prime))
    assert "dry" not in refusals(a_work(route=route, coats=coats, records=begun), asking_to_start(prime))


def test_moving_a_wet_hull_is_warned_of_and_not_refused() -> None:
    wet = a_work(coats=[a_coat("enamel", hours_ago=3)], at="finishing")
    dry = a_work(coats=[a_coat("enamel", hours_ago=4)], at="finishing")
    assert [(f.rule, f.severity) for f in judge(wet, asking_to_move("trim"))] == [("dry", Severity.WARNS)]
    assert judge(dry, asking_to_move("trim")) == ()


def test_the_wettest_surface_speaks() -> None:
    refit = a_stage(
        "refit",
        needs=(
            DryNeed(surface=Surface.SKIN, dryness=Dryness.HANDLE),
            DryNeed(surface=Surface.BRIGHTWORK, dryness=Dryness.HANDLE),
        ),
    )
    coats = [a_coat("enamel", hours_ago=40), a_coat("varnish", hours_ago=10)]
    assert refusals(a_work(route=a_route(refit), coats=coats), asking_to_start(refit))["dry"].earliest == later(38)


def test_below_its_lowest_temperature_a_coat_stands_still() -> None:
    work = a_work(coats=[a_coat("primer", hours_ago=500, sanded=True)], world=a_world(air=steady(air_c=6.9)))
    found = refusals(work, asking_to_coat("enamel"))["dry"]
    assert found.earliest is None
    assert "stands still" in str(found.clears)
    warmer = a_work(coats=[a_coat("primer", hours_ago=500, sanded=True)], world=a_world(air=steady(air_c=7.1)))
    assert refusals(warmer, asking_to_coat("enamel")) == {}


def test_a_coat_dries_by_the_air_of_each_place_that_it_stood_in() -> None:
    """At Q10 of 2, ten kelvin colder is half as fast: van 't Hoff's rule, for 10 h at 23 °C and then 12 h at 13 °C."""
    stays = (a_stay("finishing"), a_stay("yard", days_ago=12 / 24))
    work = a_work(
        coats=[a_coat("primer", hours_ago=22, sanded=True)], stays=stays, world=a_world(yard_air=steady(13.0))
    )
    assert "dry" not in refusals(work, asking_to_coat("enamel"))
    assert "dry" in refusals(work, asking_to_coat("enamel", at=later(-MINUTE)))
    reached = work.dry_at(work.state.stack(Surface.SKIN)[0], Dryness.TOPCOAT)
    assert reached is not None
    assert reached.at is not None
    assert abs((reached.at - NOW).total_seconds()) < 1


def test_a_move_in_the_minute_of_the_coat_counts_as_after_it() -> None:
    stays = (a_stay("finishing"), a_stay("yard", days_ago=30 / 24))
    work = a_work(
        coats=[a_coat("primer", hours_ago=30, sanded=True)], stays=stays, world=a_world(yard_air=steady(13.0))
    )
    assert refusals(work, asking_to_coat("enamel"))["dry"].earliest == later(2)


def test_what_does_not_dry_waits_for_nothing() -> None:
    assert product("canvas").label is None
    assert "dry" not in refusals(a_work(coats=[a_coat("canvas", hours_ago=0)]), asking_to_coat("preservative"))
