from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from hulls.models import Hull
from shop.models import Product
from stages.audit import differences
from stages.engine.errors import EngineError
from stages.models import CoatOn, Entry, StageState
from stages.services import bench, notes
from stages.services.orders import Outcome
from tests.factories import a_hull, a_shop, hand, product, station, the_shop_owner
from tests.stages.at_work import a_primed_hull
from tests.stages.services.at_bench import (
    a_hull_at,
    a_hull_with_sanded_primer,
    days_ago,
    leave_out_before,
    lines,
    prime,
    rules,
    sand,
    work,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop() -> None:
    a_shop()


def coat(hull: Hull, **changes: Any) -> Outcome:
    """A second coat of primer, or what a bad form makes of it."""
    values = {"stage": "prime", "product": product("primer").pk, "surface": "skin", "hand": hand(at=days_ago(18))}
    return bench.apply_coat(hull_id=hull.pk, **{**values, **changes})


def test_a_coat_is_recorded_with_its_product_zone_and_lot() -> None:
    hull = a_hull_with_sanded_primer()
    done = coat(hull, lot=" B-7 ")
    assert done.entry is not None
    top = CoatOn.objects.get(work=hull.pk, surface="skin", layer=1)
    assert (top.entry, top.product, top.lot, top.number) == (done.entry.number, product("primer"), "B-7", 2)
    assert (top.zone, top.at) == (station("finishing").zone, days_ago(18))


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"stage": "polish"}, "stage"),
        ({"product": 0}, "product"),
        ({"surface": "keelson"}, "surface"),
        ({"zone": 987}, "zone"),
        ({"lot": "x" * 41}, "lot"),
        ({"lot": "a\x00b"}, "lot"),
        ({"lot": "a\x1b[2Jb"}, "lot"),
    ],
)
def test_what_cannot_be_is_told_beside_its_field_and_nothing_is_written(changes: dict[str, Any], field: str) -> None:
    hull = a_hull_with_sanded_primer()
    before = lines(hull)
    with pytest.raises(EngineError) as caught:
        coat(hull, **changes)
    assert caught.value.field == field
    assert lines(hull) == before


def test_a_coat_dries_where_the_hull_stands_and_nowhere_else() -> None:
    hull = a_hull_with_sanded_primer()
    with pytest.raises(EngineError, match="stood elsewhere"):
        coat(hull, zone=station("yard").zone_id)
    assert coat(hull, zone=station("finishing").zone_id).done


def test_a_hull_that_stands_nowhere_says_in_which_air_its_coat_dries() -> None:
    hull = a_hull(arrived=days_ago(30))
    leave_out_before(hull, "prime")
    assert bench.start_stage(
        hull_id=hull.pk, stage="prime", hand=hand(by=the_shop_owner(), at=days_ago(20), override="at the owner's")
    ).done
    who: dict[str, Any] = {"hand": hand(by=the_shop_owner(), at=days_ago(19), override="at the owner's")}
    with pytest.raises(EngineError, match="stands nowhere"):
        coat(hull, **who)
    with pytest.raises(EngineError, match="no such zone"):
        coat(hull, zone=987, **who)
    assert coat(hull, zone=station("finishing").zone_id, **who).done


def test_a_self_heating_coat_leaves_rags_behind() -> None:
    hull = a_hull_at("finishing")
    leave_out_before(hull, "oil")
    notes.record_lead_test(hull_id=hull.pk, positive=False, hand=hand(at=days_ago(21)))
    bench.sand(hull_id=hull.pk, surface="planking", hand=hand(at=days_ago(21)))
    bench.start_stage(hull_id=hull.pk, stage="oil", hand=hand(at=days_ago(20)))
    bench.deal_with_rags(hull_id=hull.pk, stage="oil", hand=hand(at=days_ago(20)))
    state = work(hull).stage_states.get(stage="oil")
    assert state.rags_due_since is None
    oil = product("oil")
    assert coat(hull, stage="oil", product=oil.pk, surface="planking", hand=hand(at=days_ago(19))).done
    state.refresh_from_db()
    assert state.rags_due_since == days_ago(19)
    left = bench.leave_out(hull_id=hull.pk, stage="oil", reason="enough", hand=hand())
    assert rules(left) == {"rags"}
    assert bench.deal_with_rags(hull_id=hull.pk, stage="oil", how="drowned", hand=hand()).done
    assert bench.leave_out(hull_id=hull.pk, stage="oil", reason="enough", hand=hand()).done


@pytest.mark.parametrize(("grit", "good"), [(23, False), (24, True), (3000, True), (3001, False), (None, True)])
def test_grit_runs_from_24_to_3000(grit: int | None, good: bool) -> None:
    hull = a_hull_with_sanded_primer()
    ask: dict[str, Any] = {"hull_id": hull.pk, "surface": "skin", "grit": grit, "hand": hand(at=days_ago(18))}
    if good:
        assert bench.sand(**ask).done
    else:
        with pytest.raises(EngineError) as caught:
            bench.sand(**ask)
        assert caught.value.field == "grit"


def test_sanding_is_seen_on_the_coat() -> None:
    hull = a_hull_with_sanded_primer()
    coats = CoatOn.objects.get(work=hull.pk, surface="skin")
    assert (coats.sanded_at, coats.sanded_grit) == (days_ago(19), 220)
    sand(hull, days_ago(17))
    coats = CoatOn.objects.get(work=hull.pk, surface="skin")
    assert coats.sanded_at == days_ago(17)


def test_a_step_is_finished_with_its_coats_and_by_whoever_did_it() -> None:
    hull = a_hull_with_sanded_primer()
    finish: dict[str, Any] = {"hull_id": hull.pk, "stage": "prime"}
    assert rules(bench.finish_stage(**finish, hand=hand(at=days_ago(18)))) == {"coats"}
    assert prime(hull, days_ago(18)).done
    assert rules(bench.finish_stage(**finish, hand=hand(at=days_ago(18, hours=-15)))) == {"dry"}
    who = hand(at=days_ago(18, hours=-16))
    assert bench.finish_stage(**finish, hand=who).done
    state = work(hull).stage_states.get(stage="prime")
    assert (state.finished_at, state.finished_by) == (who.at, who.by.pk)


def test_a_step_is_left_out_with_a_reason_and_put_back() -> None:
    hull = a_hull_at("rack")
    out: dict[str, Any] = {"hull_id": hull.pk, "stage": "survey"}
    for bad in ("", "  ", "x" * 401, "a\x07"):
        with pytest.raises(EngineError) as caught:
            bench.leave_out(**out, reason=bad, hand=hand())
        assert caught.value.field == "reason"
    first = bench.leave_out(**out, reason="seen before", hand=hand())
    assert work(hull).stage_states.get(stage="survey").left_out == "seen before"
    assert bench.leave_out(**out, reason="me too", hand=hand()).already == first.entry
    assert rules(bench.start_stage(**out, hand=hand())) == {"order"}
    back = bench.put_back(**out, hand=hand())
    assert back.done
    assert bench.put_back(**out, hand=hand()).already == back.entry
    assert bench.start_stage(**out, hand=hand()).done


def test_a_step_that_was_never_left_out_is_not_put_back() -> None:
    hull = a_hull_at("rack")
    with pytest.raises(EngineError, match="not left out"):
        bench.put_back(hull_id=hull.pk, stage="survey", hand=hand())


def test_a_finished_step_is_not_left_out() -> None:
    hull = a_hull_at("rack")
    bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand())
    done = bench.finish_stage(hull_id=hull.pk, stage="survey", hand=hand())
    assert bench.leave_out(hull_id=hull.pk, stage="survey", reason="no", hand=hand()).already == done.entry


def test_a_product_of_the_wrong_kind_is_refused() -> None:
    hull = a_hull_with_sanded_primer()
    enamel = Product.objects.get(kind="enamel", usual=True)
    assert rules(coat(hull, product=enamel.pk)) == {"coats"}
    assert Entry.objects.filter(hull=hull, kind="coat").count() == 1


def test_a_coat_of_another_kind_is_none_of_those_that_the_plan_asks_for() -> None:
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(days=3))
    owner = the_shop_owner()
    before = StageState.objects.get(work=hull.pk, stage="prime").coats_on
    spite = hand(owner, override="a patch that the owner wants")
    filler = product("latex_filler").pk
    outcome = bench.apply_coat(hull_id=hull.pk, stage="prime", product=filler, surface="skin", hand=spite)
    assert outcome.done, [str(finding.words) for finding in outcome.findings]
    assert StageState.objects.get(work=hull.pk, stage="prime").coats_on == before
    assert CoatOn.objects.filter(work=hull.pk).order_by("-entry")[0].number == 0
    assert list(differences()) == []
