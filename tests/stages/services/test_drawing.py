"""Coats draw from the stores: which can, how much, what refuses, and what a strike gives back."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.utils import timezone

from hulls.models import Hull
from hulls.sizes import outside_area_m2
from shop.models import Lot, Movement
from stages.audit import differences
from stages.engine.errors import EngineError
from stages.models import Entry
from stages.services import bench, notes
from stages.services.orders import Outcome
from tests.factories import a_crew_member, a_shop, hand, product, the_shop_owner
from tests.shelves import cans, count, holds, left
from tests.stages.services.at_bench import a_hull_with_sanded_primer, days_ago, rules

pytestmark = pytest.mark.django_db
GOES_AHEAD = "the can was measured wrongly"


@pytest.fixture
def hull() -> Hull:
    a_shop()
    return a_hull_with_sanded_primer()


def prime(hull: Hull, *, override: str = "", by_owner: bool = False, **told: object) -> Outcome:
    who = the_shop_owner() if by_owner or override else a_crew_member()
    return bench.apply_coat(
        hull_id=hull.pk,
        stage="prime",
        product=product("primer").pk,
        surface="skin",
        hand=hand(by=who, at=days_ago(18), override=override),
        **told,  # type: ignore[arg-type]
    )


def told(outcome: Outcome) -> dict[str, Any]:
    assert outcome.entry is not None, outcome.findings
    details: dict[str, Any] = Entry.objects.get(pk=outcome.entry.pk).details
    return details


def test_a_coat_draws_what_was_used_from_the_can(hull: Hull) -> None:
    (can,) = cans()
    details = told(prime(hull, litres=0.4))
    assert holds(can) == Decimal("0.546")
    assert details["drawn"] == [[can.pk, "0.400"]]
    assert details["litres"] == 0.4
    assert details["measured"] is True
    assert list(differences()) == []


def test_a_coat_of_which_nobody_says_how_much_it_took_draws_what_area_and_spreading_rate_say(hull: Hull) -> None:
    (can,) = cans()
    details = told(prime(hull))
    spread = product("primer").spread_m2_per_unit
    assert spread is not None
    by_label = outside_area_m2(hull) / spread / (1 - 0.10)  # a tenth is lost
    assert float(Decimal("0.946") - holds(can)) == pytest.approx(by_label, abs=0.0005)
    assert details["reckoned"] == pytest.approx(by_label, abs=0.0001)
    assert details["measured"] is False


def test_a_shop_without_stores_records_coats_as_ever(hull: Hull) -> None:
    details = told(prime(hull))
    assert "drawn" not in details
    assert "litres" not in details
    assert not Movement.objects.exists()


def test_a_product_that_never_came_in_is_drawn_from_nowhere_and_said_so(hull: Hull) -> None:
    cans("varnish")
    outcome = prime(hull)
    assert "drawn" not in told(outcome)
    assert "No High-build primer, alkyd ever came into the stores" in " ".join(str(f.words) for f in outcome.findings)


def test_the_open_can_is_emptied_before_another_one_is_opened(hull: Hull) -> None:
    full, started = cans(packs=2)
    count(started, "0.100")
    Lot.objects.filter(pk=started.pk).update(opened_at=days_ago(20))
    details = told(prime(hull, litres=0.4))
    assert details["drawn"] == [[started.pk, "0.100"], [full.pk, "0.300"]]
    assert (holds(started), holds(full)) == (Decimal("0.000"), Decimal("0.646"))


def test_what_goes_out_of_date_first_is_taken_first(hull: Hull) -> None:
    (late,) = cans(use_by=timezone.localdate() + timedelta(days=400))
    (soon,) = cans(use_by=timezone.localdate() + timedelta(days=40))
    assert told(prime(hull, litres=0.3))["drawn"] == [[soon.pk, "0.300"]]
    assert holds(late) == Decimal("0.946")


def test_hands_may_take_another_can(hull: Hull) -> None:
    _first, second = cans(packs=2)
    assert told(prime(hull, litres=0.3, from_lot=second.pk))["drawn"] == [[second.pk, "0.300"]]


def test_the_label_s_lot_number_stands_with_the_coat(hull: Hull) -> None:
    cans(label="B-17")
    assert told(prime(hull, litres=0.3))["lot"] == "B-17"


def test_a_can_that_is_empty_by_now_is_refused_beside_its_field(hull: Hull) -> None:
    first, _second = cans(packs=2)
    count(first, "0")
    with pytest.raises(EngineError) as error:
        prime(hull, litres=0.3, from_lot=first.pk)
    assert error.value.field == "from_lot"


@pytest.mark.parametrize(("litres", "goes"), [(0.945, True), (0.946, True), (0.947, False)])
def test_a_coat_takes_no_more_than_there_is(hull: Hull, litres: float, goes: bool) -> None:
    (can,) = cans()
    outcome = prime(hull, litres=litres)
    assert outcome.done is goes
    assert rules(outcome) == (set() if goes else {"stores"})
    assert holds(can) == (Decimal("0.946") - Decimal(str(litres)) if goes else Decimal("0.946"))
    assert list(differences()) == []


def test_a_can_past_its_last_day_is_refused(hull: Hull) -> None:
    cans(use_by=timezone.localdate() - timedelta(days=19), received_on=timezone.localdate() - timedelta(days=60))
    outcome = prime(hull, litres=0.3)
    assert rules(outcome) == {"stores"}
    assert "went out of date" in str(outcome.findings[0].words)


def test_a_can_on_its_last_day_is_taken(hull: Hull) -> None:
    cans(use_by=days_ago(18).date(), received_on=timezone.localdate() - timedelta(days=60))
    assert prime(hull, litres=0.3).done


def test_the_shop_s_owner_goes_ahead_with_what_there_is_and_the_stores_stay_at_nothing(hull: Hull) -> None:
    (can,) = cans(amount="0.200")
    details = told(prime(hull, litres=0.4, override=GOES_AHEAD))
    assert details["drawn"] == [[can.pk, "0.200"]]
    assert holds(can) == 0
    assert [item["rule"] for item in details["overrides"]] == ["stores"]
    assert list(differences()) == []


def test_striking_the_coat_gives_back_what_it_drew(hull: Hull) -> None:
    one, other = cans(amount="0.250", packs=2)
    coat = prime(hull, litres=0.4).entry
    assert coat is not None
    assert left(product("primer")) == Decimal("0.100")
    assert notes.strike_entry(hull_id=hull.pk, number=coat.number, reason="another hull", hand=hand()).done
    assert (holds(one), holds(other)) == (Decimal("0.250"), Decimal("0.250"))
    assert list(differences()) == []


def test_a_can_that_was_counted_since_keeps_what_was_found_in_it(hull: Hull) -> None:
    (can,) = cans()
    coat = prime(hull, litres=0.4).entry
    assert coat is not None
    count(can, "0.900")
    assert notes.strike_entry(hull_id=hull.pk, number=coat.number, reason="another hull", hand=hand()).done
    assert holds(can) == Decimal("0.900")
    assert list(differences()) == []


def test_a_coat_sent_twice_draws_once(hull: Hull) -> None:
    (can,) = cans()
    sent = hand(at=days_ago(18))
    for _again in range(2):
        put_on = {"product": product("primer").pk, "surface": "skin", "litres": 0.4}
        assert bench.apply_coat(hull_id=hull.pk, stage="prime", hand=sent, **put_on).done  # type: ignore[arg-type]
    assert holds(can) == Decimal("0.546")


@pytest.mark.parametrize("litres", [-0.1, 0.0, 0.0004, 50.001, float("nan"), float("inf")])
def test_an_amount_that_no_coat_takes_is_refused_and_draws_nothing(hull: Hull, litres: float) -> None:
    (can,) = cans()
    with pytest.raises(EngineError):
        prime(hull, litres=litres)
    assert holds(can) == Decimal("0.946")


def test_a_can_that_has_settled_is_shaken_first(hull: Hull) -> None:
    cans()
    cautions = [f for f in prime(hull, litres=0.1).findings if f.rule == "stores"]
    assert cautions == []
    type(product("primer")).objects.filter(pk=product("primer").pk).update(settles_days=5)
    Lot.objects.update(shaken_at=days_ago(25))
    outcome = prime(hull, litres=0.1, override=GOES_AHEAD)
    assert "has settled" in " ".join(str(finding.words) for finding in outcome.findings)
    assert outcome.done
