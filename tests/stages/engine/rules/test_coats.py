"""Coats. What goes over what is common practice, no published source."""

import pytest

from stages.engine.rules import judge
from stages.engine.state import StageRecord
from stages.engine.vocab import Condition, ProductKind, Severity, Surface
from tests.stages.engine.trade import (
    NOW,
    a_coat,
    a_route,
    a_stage,
    a_work,
    asking_to_coat,
    asking_to_finish,
    refusals,
)

PRIME = a_stage("prime", coats=2, product=ProductKind.PRIMER, surface=Surface.SKIN)
ROUTE = a_route(PRIME)
FILLED = a_coat("latex_filler")
PRIMED = a_coat("primer", sanded=True)


def with_on(coats_on: int) -> dict[str, StageRecord]:
    return {"prime": StageRecord(started_at=a_coat("primer").at, coats_on=coats_on)}


@pytest.mark.parametrize(("on", "refused"), [(0, True), (1, True), (2, False), (3, False)])
def test_a_step_is_finished_when_its_coats_are_on(on: int, refused: bool) -> None:
    work = a_work(route=ROUTE, records=with_on(on), coats=[FILLED, PRIMED])
    assert set(refusals(work, asking_to_finish(PRIME))) == ({"coats"} if refused else set())


@pytest.mark.parametrize(("on", "warned"), [(1, False), (2, True), (3, True)])
def test_one_coat_more_than_planned_is_warned_of(on: int, warned: bool) -> None:
    found = judge(a_work(route=ROUTE, records=with_on(on), coats=[FILLED, PRIMED]), asking_to_coat("primer", of=PRIME))
    assert [(f.rule, f.severity) for f in found if f.rule == "coats"] == [("coats", Severity.WARNS)] * warned


def test_one_coat_more_than_planned_must_still_lie_in_its_order() -> None:
    work = a_work(route=ROUTE, records=with_on(2), coats=[FILLED, PRIMED, a_coat("enamel", sanded=True)])
    assert set(refusals(work, asking_to_coat("primer", of=PRIME))) == {"coats"}


def test_a_step_takes_no_other_product() -> None:
    work = a_work(route=ROUTE, records=with_on(1), coats=[FILLED, PRIMED])
    assert refusals(work, asking_to_coat("primer", of=PRIME)) == {}
    assert set(refusals(work, asking_to_coat("enamel", of=PRIME))) == {"coats"}


def test_a_step_takes_no_other_surface() -> None:
    work = a_work(route=ROUTE, records=with_on(1), coats=[FILLED, PRIMED])
    assert set(refusals(work, asking_to_coat("primer", on="inside", of=PRIME))) == {"coats"}


@pytest.mark.parametrize(
    ("under", "upper"),
    [
        ("canvas", "preservative"),
        ("canvas", "latex_filler"),
        ("preservative", "oil_filler"),
        ("latex_filler", "latex_filler"),
        ("latex_filler", "primer"),
        ("oil_filler", "primer"),
        ("primer", "enamel"),
        ("enamel", "enamel"),
    ],
)
def test_the_skin_is_built_up_in_its_order(under: str, upper: str) -> None:
    assert "coats" not in refusals(a_work(coats=[a_coat(under)]), asking_to_coat(upper))


@pytest.mark.parametrize(
    ("under", "upper"),
    [
        ("canvas", "canvas"),
        ("preservative", "canvas"),
        ("latex_filler", "preservative"),
        ("latex_filler", "oil_filler"),
        ("oil_filler", "latex_filler"),
        ("primer", "latex_filler"),
        ("enamel", "primer"),
        ("enamel", "oil_filler"),
    ],
)
def test_and_not_out_of_it(under: str, upper: str) -> None:
    assert "coats" in refusals(a_work(coats=[a_coat(under)]), asking_to_coat(upper))


def test_a_sealer_does_not_go_over_varnish() -> None:
    assert "coats" in refusals(a_work(coats=[a_coat("varnish")]), asking_to_coat("sealer"))
    assert "coats" not in refusals(a_work(coats=[a_coat("sealer")]), asking_to_coat("varnish"))


@pytest.mark.parametrize("kind", ["preservative", "latex_filler", "primer", "enamel"])
def test_nothing_but_canvas_goes_on_a_bare_hull(kind: str) -> None:
    assert "coats" in refusals(a_work(), asking_to_coat(kind))


def test_canvas_does_not_go_over_the_old_canvas() -> None:
    oiled = [a_coat("oil")]
    old, sanded = {Surface.SKIN: Condition.SOUND}, {Surface.SKIN: NOW}
    assert refusals(a_work(coats=oiled), asking_to_coat("canvas")) == {}
    assert set(refusals(a_work(coats=oiled, old=old, old_sanded=sanded), asking_to_coat("canvas"))) == {"coats"}


def test_a_boat_that_keeps_its_canvas_can_be_painted() -> None:
    old, sanded = {Surface.SKIN: Condition.SOUND}, {Surface.SKIN: NOW}
    assert refusals(a_work(old=old, old_sanded=sanded), asking_to_coat("enamel")) == {}
