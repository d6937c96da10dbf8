"""The finish record is frozen with the hand-over, and nothing but a strike takes it back."""

from datetime import timedelta

import psychrolib
import pytest
from django.utils import timezone

from hulls.models import FinishRecord
from hulls.models.estimates import FrozenError
from shop.models import Reading
from stages.audit import differences
from stages.queries.routes import engine_route
from stages.services import bench, notes
from tests.at_work import finish
from tests.factories import a_hull, a_shop, hand, product, station, the_shop_owner
from tests.stages.at_work import SKIP, a_hull_at, a_primed_hull
from tests.stages.away import a_boat_away, hand_over, strike_last

pytestmark = pytest.mark.django_db


def the_record() -> FinishRecord:
    return FinishRecord.objects.get(withdrawn_at=None)


def test_the_hand_over_freezes_what_lies_on_the_hull() -> None:
    a_shop()
    hull = a_boat_away()
    record = the_record()
    (surface,) = record.body["surfaces"]
    (layer,) = surface["layers"]
    assert (record.hull_id, record.version, surface["surface"]) == (hull.pk, 1, "skin")
    assert (layer["product"], layer["kind"], layer["by"]) == (product("primer").name, "primer", "boss")
    assert layer["dried_h"] == pytest.approx(29.0, abs=0.1)  # from the coat to the hand-over
    assert record.holds
    assert list(differences()) == []


def test_before_the_hand_over_there_is_none() -> None:
    a_shop()
    a_primed_hull(coat_at=timezone.now() - timedelta(hours=4))
    assert not FinishRecord.objects.exists()


def test_the_air_of_a_coat_is_that_of_the_readings_around_it_and_its_margin_that_of_the_standards() -> None:
    """The dew point by psychrolib, ASHRAE Handbook of Fundamentals 2017, chapter 1."""
    a_shop(air_c=18.4, rh_pct=61.0)
    a_boat_away()
    air = the_record().body["surfaces"][0]["layers"][0]["air"]
    psychrolib.SetUnitSystem(psychrolib.SI)
    margin_c = 18.4 - psychrolib.GetTDewPointFromRelHum(18.4, 0.61)
    assert (air["air_c"], air["rh_pct"]) == (18.4, 61)
    assert air["margin_c"] == pytest.approx(margin_c, abs=0.06)


def test_the_air_of_half_a_year_ago_is_still_told() -> None:
    """The pages keep the air of some months alone; a job may take longer."""
    a_shop()
    then = timezone.now() - timedelta(days=200)
    around = (Reading(zone=station("finishing").zone, at=then + timedelta(hours=n), air_c=15 + n) for n in (-1, 1))
    Reading.objects.bulk_create(Reading(zone=r.zone, at=r.at, air_c=r.air_c, rh_pct=40.0) for r in around)
    hull = a_hull(arrived=then - timedelta(days=1))
    boss = the_shop_owner()
    for spec in engine_route(hull.work.route).stages:
        if spec.key == "prime":
            break
        bench.leave_out(hull_id=hull.pk, stage=spec.key, reason=SKIP, hand=hand(by=boss, at=then, override=SKIP))
    notes.move_hull(hull_id=hull.pk, station=station("finishing").pk, hand=hand(at=then - timedelta(hours=2)))
    who = hand(by=boss, at=then, override=SKIP)
    assert bench.start_stage(hull_id=hull.pk, stage="prime", hand=hand(by=boss, at=then, override=SKIP)).done
    assert bench.apply_coat(hull_id=hull.pk, stage="prime", product=product("primer").pk, surface="skin", hand=who).done
    assert hand_over(hull, timezone.now()).done
    air = the_record().body["surfaces"][0]["layers"][0]["air"]
    assert (air["air_c"], air["rh_pct"]) == (15.0, 40)


def test_air_that_nobody_read_is_not_made_up() -> None:
    a_shop()
    Reading.objects.all().delete()
    a_boat_away()
    assert the_record().body["surfaces"][0]["layers"][0]["air"] == {"read": False}


def test_a_struck_line_never_appears() -> None:
    a_shop()
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=30))
    who = hand(by=the_shop_owner(), at=timezone.now() - timedelta(hours=20), override="tried by hand")
    assert bench.apply_coat(
        hull_id=hull.pk, stage="prime", product=product("primer").pk, surface="skin", hand=who, lot="WRONG-CAN"
    ).done
    assert strike_last(hull, "coat").done
    assert hand_over(hull, timezone.now()).done
    body = the_record().body
    assert len(body["surfaces"][0]["layers"]) == 1
    assert "WRONG-CAN" not in str(body)
    assert "tried by hand" not in str(body)


def test_what_was_set_aside_stands_there_with_its_reason() -> None:
    a_shop()
    a_boat_away()
    found = the_record().body["overrides"]
    assert {item["reason"] for item in found} == {SKIP}
    assert found[0]["by"] == "boss"
    assert found[0]["words"]


def test_wood_is_told_once_the_step_that_mends_it_is_finished() -> None:
    a_shop()
    hull = a_hull_at("wood")
    at = timezone.now() - timedelta(days=2)
    boss = hand(by=the_shop_owner(), at=at, override=SKIP)
    notes.write_survey(
        hull_id=hull.pk, counts={"ribs": 2, "seats": 1}, conditions={}, places={}, hand=hand(at=at - timedelta(hours=2))
    )
    notes.add_find(hull_id=hull.pk, damage="ribs", count=1, note="cracked at the turn", hand=hand(at=at))
    assert bench.start_stage(hull_id=hull.pk, stage="ribs", hand=boss).done
    done = hand(by=the_shop_owner(), at=at + timedelta(hours=5), override=SKIP)
    assert bench.finish_stage(hull_id=hull.pk, stage="ribs", hand=done).done
    assert hand_over(hull, timezone.now()).done
    (ribs,) = the_record().body["mended"]
    assert (ribs["damage"], ribs["count"], ribs["notes"]) == ("ribs", 3, ["cracked at the turn"])


def test_a_hand_over_that_is_struck_takes_the_record_back_and_the_next_one_is_the_next_version() -> None:
    a_shop()
    hull = a_boat_away()
    assert strike_last(hull, "finished").done
    assert not FinishRecord.objects.filter(withdrawn_at=None).exists()
    assert list(differences()) == []
    boss = hand(by=the_shop_owner(), override=SKIP)
    assert finish(hull_id=hull.pk, stage="hand_over", hand=boss).done
    assert the_record().version == 2
    assert list(differences()) == []


def test_a_line_that_is_struck_after_the_hand_over_makes_the_next_version() -> None:
    a_shop()
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=30))
    at = timezone.now() - timedelta(hours=2)
    assert notes.record_moisture(hull_id=hull.pk, moisture_pct=11.0, hand=hand(at=at)).done
    assert hand_over(hull, timezone.now()).done
    assert strike_last(hull, "moisture").done
    record = the_record()
    assert (record.version, record.body["moisture"]) == (2, [])


def test_a_note_after_the_hand_over_leaves_it_alone() -> None:
    a_shop()
    hull = a_boat_away()
    assert notes.write_note(hull_id=hull.pk, text="the owner wrote", hand=hand()).done
    assert strike_last(hull, "note").done
    assert the_record().version == 1


def test_the_same_hand_over_sent_twice_freezes_one_record() -> None:
    a_shop()
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=30))
    at = timezone.now()
    assert hand_over(hull, at).done
    again = finish(hull_id=hull.pk, stage="hand_over", hand=hand(by=the_shop_owner(), at=at))
    assert again.already is not None
    assert FinishRecord.objects.count() == 1


def test_it_cannot_be_changed_or_deleted() -> None:
    a_shop()
    a_boat_away()
    record = the_record()
    record.body = {**record.body, "lead": False}
    with pytest.raises(FrozenError):
        record.save()
    with pytest.raises(FrozenError):
        record.delete()


def test_the_audit_names_one_that_was_changed_behind_the_programs_back() -> None:
    a_shop()
    a_boat_away()
    FinishRecord.objects.update(body={**the_record().body, "lead": False})
    assert [found.where for found in differences()] == ["finish record 1"]


def test_the_audit_names_a_boat_that_left_without_one() -> None:
    a_shop()
    a_boat_away()
    FinishRecord.objects.update(withdrawn_at=timezone.now())
    assert [found.where for found in differences()] == ["finish records that stand"]
