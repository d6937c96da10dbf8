"""Coverage learns: what coats took, against the label."""

from datetime import timedelta

import pytest
from django.test import Client

from hulls.models import Hull
from stages.queries.coverage import measured, usage_factors
from stages.queries.world import around
from stages.services import bench, notes
from tests.factories import a_crew_member, a_shop, hand, product, the_shop_owner
from tests.stages.services.at_bench import a_hull_with_sanded_primer, days_ago

pytestmark = pytest.mark.django_db
FOR_THE_TEST = "only what it took is looked at"


def coat(hull: Hull, litres: float | None, hours: float) -> int:
    by = hand(by=the_shop_owner(), at=days_ago(18) + timedelta(hours=hours), override=FOR_THE_TEST)
    primer = product("primer").pk
    outcome = bench.apply_coat(hull_id=hull.pk, stage="prime", product=primer, surface="skin", litres=litres, hand=by)
    assert outcome.entry is not None, outcome.findings
    return outcome.entry.number


def test_measured_coats_teach_how_far_it_goes_here_and_a_strike_takes_the_lesson_back() -> None:
    a_shop()
    hull = a_hull_with_sanded_primer()
    assert usage_factors() == {}
    numbers = [coat(hull, 0.9, hours) for hours in range(4)]
    (by_label,) = {coat.by_label for coat in measured()}
    factor = usage_factors()[product("primer").pk]
    assert 1.0 < factor.factor < 0.9 / by_label
    assert around().world.products[product("primer").pk].usage == pytest.approx(factor.factor)
    for number in reversed(numbers):
        assert notes.strike_entry(hull_id=hull.pk, number=number, reason="another can", hand=hand()).done
    assert usage_factors() == {}
    assert around().world.products[product("primer").pk].usage == 1.0


def test_a_coat_of_which_nobody_measured_anything_teaches_nothing() -> None:
    a_shop()
    coat(a_hull_with_sanded_primer(), None, 0)
    assert measured() == []


def test_the_product_s_page_tells_what_was_learnt(client: Client) -> None:
    a_shop()
    hull = a_hull_with_sanded_primer()
    for hours in range(3):
        coat(hull, 0.9, hours)
    client.force_login(a_crew_member())
    html = client.get(f"/products/{product('primer').pk}/").content.decode()
    assert "times what the label says" in html
    assert "from 3 measured coats" in html
