"""Hours that the shop learns from its own boats, and what its next estimate makes of them."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from hulls.models import Hull
from stages.engine.errors import EngineError
from stages.models import Entry
from stages.queries.learnt_hours import beliefs, ratios
from stages.services import bench, notes
from tests.factories import hand
from tests.stages.charging import a_draft, a_shop_that_charges, a_surveyed_hull

pytestmark = pytest.mark.django_db
LONG_AGO = timezone.now() - timedelta(days=20)


@pytest.fixture(autouse=True)
def shop() -> None:
    a_shop_that_charges()


def a_boat_that_took(hours: float | None, tag: str) -> Hull:
    """A hull whose survey step, of one and a half hours by the route, took so many."""
    hull = a_surveyed_hull(tag, at=LONG_AGO)
    bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand(at=LONG_AGO))
    assert bench.finish_stage(hull_id=hull.pk, stage="survey", hand=hand(at=LONG_AGO), hours=hours).done
    return hull


def test_hours_told_at_the_finish_are_set_against_the_route_s_formula() -> None:
    a_boat_that_took(3.0, "L-1")
    a_boat_that_took(None, "L-2")
    assert ratios() == {"survey": [pytest.approx(2.0)]}


def test_a_finish_that_was_struck_teaches_nothing() -> None:
    hull = a_boat_that_took(3.0, "L-1")
    number = Entry.objects.get(hull=hull, kind="finished").number
    assert notes.strike_entry(hull_id=hull.pk, number=number, reason="not done", hand=hand()).done
    assert ratios() == {}


def test_the_next_estimate_charges_what_boats_took_and_says_so() -> None:
    before = next(line for line in a_draft(a_surveyed_hull("H-1")).sums.lines if line.key == "survey")
    for n in range(8):
        a_boat_that_took(3.0, f"L-{n}")
    after = next(line for line in a_draft(a_surveyed_hull("H-2")).sums.lines if line.key == "survey")
    assert before.amount == Decimal("1.5")
    assert Decimal("2.2") < after.amount < Decimal("3.1")
    assert "What 8 boats of this shop took" in [part.what for part in after.because]


def test_one_odd_boat_does_not_make_the_next_estimate_jump() -> None:
    for n in range(8):
        a_boat_that_took(1.5, f"L-{n}")
    usual = beliefs()["survey"].factor
    a_boat_that_took(150.0, "L-9")
    assert beliefs()["survey"].factor == pytest.approx(usual, rel=0.12)


@pytest.mark.parametrize("hours", [0.0, -1.0, 1000.5])
def test_hours_that_nobody_works_are_refused(hours: float) -> None:
    hull = a_surveyed_hull("L-1")
    with pytest.raises(EngineError) as refused:
        bench.finish_stage(hull_id=hull.pk, stage="survey", hand=hand(), hours=hours)
    assert refused.value.field == "hours"
