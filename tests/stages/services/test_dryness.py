"""A coat that was tried: what is recorded, what it teaches, and what is refused."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import time_machine
from time_machine import Traveller

from hulls.models import Hull
from shop.models import Product, Pulse, Reading
from stages.audit import differences
from stages.engine.errors import EngineError
from stages.engine.label import Dryness
from stages.engine.learning import Observation, Seen, learn
from stages.engine.vocab import Surface
from stages.models import CoatOn, Entry
from stages.queries.learnt import trials
from stages.queries.work import in_work, rows_in_hand
from stages.queries.world import around
from stages.services import bench, notes
from stages.services.dryness import record_dryness
from stages.services.orders import Outcome
from tests.factories import a_shop, hand, product
from tests.stages.at_work import a_primed_hull

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)


@pytest.fixture(autouse=True)
def clock() -> Iterator[Traveller]:
    with time_machine.travel(NOON, tick=False) as moved:
        yield moved


@pytest.fixture
def hull() -> Hull:
    """Primed at 20:00 yesterday: 16 hours ago, just as long as the label asks for at 23 °C."""
    a_shop()
    return a_primed_hull("H-8", coat_at=NOON - timedelta(hours=16))


def tried(hull: Hull, seen: str, *, hours_ago: float = 0.0, **more: Any) -> Outcome:
    asked = {"surface": "skin", "hand": hand(at=NOON - timedelta(hours=hours_ago)), **more}
    return record_dryness(hull_id=hull.pk, seen=seen, **asked)


def factor() -> float:
    return around().world.products[product("primer").pk].factor


def primer_dry_at() -> datetime:
    (found,) = in_work(rows_in_hand(), around().world)
    coat = found.work.state.stack(Surface.SKIN)[0]
    reached = found.work.dry_at(coat, Dryness.SAND)
    assert reached
    assert reached.at
    return reached.at


def test_the_line_holds_what_was_found_and_the_age_by_the_label(hull: Hull) -> None:
    outcome = tried(hull, "tacky")
    assert outcome.entry
    assert outcome.entry.stage == "prime"
    coat = CoatOn.objects.get()
    assert outcome.entry.details == {
        "surface": "skin",
        "coat": coat.entry,
        "product": coat.product_id,
        "dryness": "sand",
        "seen": "tacky",
        "age_h": 16.0,  # at the label's own condition an hour is an hour
        "stood_h": 16.0,
        "assumed_h": 0.0,
    }


def test_in_colder_air_the_age_is_less_than_the_time_that_went_by(hull: Hull) -> None:
    Reading.objects.update(air_c=13.0)  # half as fast: the primer's Q10 is 2
    Pulse.bump(air=True)
    entry = tried(hull, "tacky").entry
    assert entry
    assert (entry.details["age_h"], entry.details["stood_h"]) == (8.0, 16.0)


def test_a_fresh_product_starts_from_its_label(hull: Hull) -> None:
    assert factor() == 1.0
    assert primer_dry_at() == NOON


def test_a_coat_still_tacky_makes_the_clock_run_longer_and_a_dry_one_shorter(hull: Hull) -> None:
    assert tried(hull, "tacky").done
    longer = factor()
    assert longer == learn([Observation(age_h=16.0, needed_h=16.0, seen=Seen.TACKY)]).factor > 1.0
    assert primer_dry_at() == pytest.approx(NOON + timedelta(hours=16 * (longer - 1)), abs=timedelta(seconds=2))
    assert tried(hull, "dry").done
    assert factor() < longer


def test_what_was_learnt_before_does_not_bend_the_age_of_the_next_trial(hull: Hull) -> None:
    tried(hull, "tacky", hours_ago=2.0)
    assert factor() != 1.0
    entry = tried(hull, "dry").entry
    assert entry
    assert entry.details["age_h"] == 16.0


def test_a_line_that_is_struck_is_unlearnt(hull: Hull) -> None:
    entry = tried(hull, "tacky").entry
    assert entry
    assert factor() > 1.0
    struck = notes.strike_entry(hull_id=hull.pk, number=entry.number, reason="the wrong boat", hand=hand(at=NOON))
    assert struck.done
    assert factor() == 1.0
    assert trials() == []


def test_with_its_coat_the_trial_is_struck_too(hull: Hull) -> None:
    tried(hull, "tacky")
    line = CoatOn.objects.get().entry
    assert notes.strike_entry(hull_id=hull.pk, number=line, reason="the wrong boat", hand=hand(at=NOON)).done
    assert factor() == 1.0


def test_a_corrected_label_is_what_the_trials_are_held_against(hull: Hull) -> None:
    tried(hull, "tacky")
    primer = product("primer")
    primer.sand_h = 8.0
    primer.save()
    assert factor() == learn([Observation(age_h=16.0, needed_h=8.0, seen=Seen.TACKY)]).factor


def test_an_age_in_air_that_nobody_measured_teaches_nothing(hull: Hull) -> None:
    Reading.objects.filter(at__gt=NOON - timedelta(hours=15), at__lt=NOON - timedelta(hours=1)).delete()
    Pulse.bump(air=True)
    entry = tried(hull, "tacky").entry
    assert entry
    assert entry.details["assumed_h"] == pytest.approx(12.0, abs=4.0)
    assert factor() == 1.0
    assert len(trials()) == 1


def test_other_products_keep_their_labels(hull: Hull) -> None:
    tried(hull, "tacky")
    others = [p.factor for p in around().world.products.values() if p.id != product("primer").pk]
    assert set(others) == {1.0}


def test_the_tables_still_equal_the_log(hull: Hull) -> None:
    tried(hull, "tacky")
    assert list(differences()) == []


def test_sent_twice_it_is_one_line(hull: Hull) -> None:
    once = hand(at=NOON)
    first, second = tried(hull, "dry", hand=once), tried(hull, "dry", hand=once)
    assert first.entry == second.entry
    assert second.repeated


def test_the_same_answer_about_the_same_coat_within_half_an_hour_is_one_trial(hull: Hull) -> None:
    first = tried(hull, "tacky", hours_ago=0.49)
    again = tried(hull, "tacky")
    assert again.already == first.entry
    assert tried(hull, "dry").done
    assert Entry.objects.filter(kind="seen").count() == 2


def test_half_an_hour_later_it_is_another_trial(hull: Hull) -> None:
    tried(hull, "tacky", hours_ago=0.5)
    assert tried(hull, "tacky").done


def test_a_late_line_is_about_the_coat_that_lay_there_then(hull: Hull) -> None:
    assert bench.sand(hull_id=hull.pk, surface="skin", stage="prime", hand=hand(at=NOON)).done
    first = CoatOn.objects.get().entry
    second = bench.apply_coat(
        hull_id=hull.pk, stage="prime", product=product("primer").pk, surface="skin", hand=hand(at=NOON)
    )
    assert second.entry
    late, now = (
        tried(hull, "tacky", hours_ago=3.0).entry,
        tried(hull, "tacky", hand=hand(at=NOON + timedelta(minutes=4))),
    )
    assert late
    assert now.entry
    assert (late.details["coat"], now.entry.details["coat"]) == (first, second.entry.number)


def test_what_is_not_sanded_is_tried_for_its_next_coat() -> None:
    a_shop()
    Product.objects.filter(kind="primer").update(sand_between=False)
    Pulse.bump(setup=True)
    other = a_primed_hull("H-8", coat_at=NOON - timedelta(hours=16))
    entry = tried(other, "dry").entry
    assert entry
    assert entry.details["dryness"] == "recoat"


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"surface": "deck"}, "surface"),
        ({"surface": "inside"}, "surface"),  # no coat on it
        ({"seen": "soft"}, "seen"),
        ({"hand": "before the coat"}, "surface"),
        ({"hand": "tomorrow"}, "at"),
    ],
)
def test_what_cannot_be_is_refused(hull: Hull, wrong: dict[str, Any], field: str) -> None:
    moments = {"before the coat": NOON - timedelta(hours=17), "tomorrow": NOON + timedelta(days=1)}
    if "hand" in wrong:
        wrong = {"hand": hand(at=moments[wrong["hand"]])}
    with pytest.raises(EngineError) as error:
        record_dryness(**{"hull_id": hull.pk, "surface": "skin", "seen": "dry", "hand": hand(at=NOON), **wrong})
    assert error.value.field == field
    assert not Entry.objects.filter(kind="seen").exists()


def test_what_needs_no_time_to_dry_cannot_be_tried(hull: Hull) -> None:
    Product.objects.filter(kind="primer").update(family="")
    Pulse.bump(setup=True)
    with pytest.raises(EngineError) as error:
        tried(hull, "dry")
    assert error.value.field == "surface"
