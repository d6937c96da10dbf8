"""A boat is handed over once, with what its owner was told, got and signed for, or not at all."""

import io
import json
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.utils import timezone
from PIL import Image
from pytest_django import Settings

from hulls.estimate import digest
from hulls.models import FinishRecord, Message, MessageKind, MessageState, Photo, Wish
from shop.models import Shop
from stages.audit import differences
from stages.engine.errors import EngineError
from stages.models import Entry, HullWork
from stages.queries.balances import balance_of
from stages.queries.photos import in_sight, shared_photos
from stages.services import bench, notes
from stages.services.hand_over import MOST_THINGS, NAME_LENGTH, hand_over, keep_signed_paper
from stages.services.notes import strike_entry
from stages.services.photos import change_photo
from tests.factories import a_crew_member, a_shop, hand, the_shop_owner
from tests.photo_files import a_file
from tests.stages.at_work import a_primed_hull
from tests.stages.away import strike_last
from tests.stages.behind_the_link import strike, worked
from tests.stages.billing import an_agreed_hull, pay
from tests.stages.handing_over import SIGNED, TO, a_finished_boat, a_receipt, goes_home, points_of
from tests.stages.out_tray import a_shop_that_writes, an_owner_hears, when_due

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def files(settings: Settings, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path


def the_record() -> FinishRecord:
    return FinishRecord.objects.get(withdrawn_at=None)


def line_of_it() -> Entry:
    return Entry.objects.filter(kind="finished", stage="hand_over").order_by("-number")[0]


def test_one_act_begins_and_ends_the_step_frees_the_place_and_freezes_what_was_signed_for() -> None:
    a_shop()
    hull = a_finished_boat()
    assert HullWork.objects.get(pk=hull.pk).station_id is not None
    ben = a_crew_member("ben")
    assert goes_home(hull, by=ben).done
    row = HullWork.objects.get(pk=hull.pk)
    assert row.handed_over_at is not None
    assert (row.station_id, row.place) == (None, None)
    receipt = the_record().body["receipt"]
    assert receipt["to"] == TO
    assert receipt["by"] == ben.called
    assert receipt["signature"] == SIGNED
    assert receipt["goods"] == ["Two paddles", "A seat pad"]
    assert receipt["care"] == list(points_of(hull))
    assert receipt["left"] == []
    assert len(the_record().body["photos"]) == len(Shop.the_one().final_views)
    assert list(differences()) == []


def test_a_step_that_somebody_began_is_not_begun_again() -> None:
    a_shop()
    hull = a_finished_boat()
    assert bench.start_stage(hull_id=hull.pk, stage="hand_over", hand=hand()).done
    assert goes_home(hull).done
    assert Entry.objects.filter(kind="started", stage="hand_over").count() == 1


def test_the_same_form_sent_twice_is_one_hand_over() -> None:
    a_shop()
    hull, number = a_finished_boat(), uuid4()
    first, second = goes_home(hull, client_id=number), goes_home(hull, client_id=number)
    assert second.repeated
    assert first.entry == second.entry
    assert Entry.objects.filter(stage="hand_over").count() == 2
    assert FinishRecord.objects.count() == 1


def test_whoever_comes_second_is_told_who_was_first() -> None:
    a_shop()
    hull = a_finished_boat()
    assert goes_home(hull, by=a_crew_member("ada")).done
    second = goes_home(hull, by=a_crew_member("ben"), to="Somebody else")
    assert second.already is not None
    assert second.already.by == a_crew_member("ada")
    assert the_record().body["receipt"]["to"] == TO


def test_a_refusal_of_the_rules_writes_nothing_not_even_the_start() -> None:
    a_shop()
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=30))
    before = Entry.objects.count()
    outcome = goes_home(hull, short="no photos in this test")
    assert [finding.rule for finding in outcome.findings] == ["order"]
    assert Entry.objects.count() == before
    assert not FinishRecord.objects.exists()


def test_the_balance_holds_it_until_it_is_paid_or_waived_in_writing() -> None:
    a_shop()
    Shop.objects.update(hourly_rate=60)
    hull = an_agreed_hull()
    for key in HullWork.objects.get(pk=hull.pk).route.stages.exclude(key="hand_over").values_list("key", flat=True):
        bench.leave_out(hull_id=hull.pk, stage=key, reason="not in this test", hand=hand())
    short: dict[str, Any] = {"short": "no photos in this test", "care": points_of(hull)}
    outcome = goes_home(hull, **short)
    assert [finding.rule for finding in outcome.findings if finding.refuses] == ["paid"]
    assert goes_home(hull, override="crew may not", **short).refused
    waived = goes_home(hull, by=the_shop_owner(), override="pays next week, an old friend", **short)
    assert waived.done
    assert "an old friend" in str(the_record().body["overrides"])
    assert strike_last(hull, "finished").done
    pay(hull, str(balance_of(hull.pk).due))
    assert goes_home(hull, **short).done
    assert list(differences()) == []


def test_a_point_of_the_talk_or_a_photo_is_left_out_with_a_reason_alone() -> None:
    a_shop()
    hull = a_finished_boat(photos=False)
    some = points_of(hull)[1:]
    with pytest.raises(EngineError, match="Talk every point through") as refused:
        goes_home(hull, care=some)
    assert refused.value.field == "care"
    with pytest.raises(EngineError, match="A photo is missing") as refused:
        goes_home(hull)
    assert refused.value.field == "short"
    assert goes_home(hull, care=some, short="a carrier fetched it").done
    receipt = the_record().body["receipt"]
    assert receipt["left"] == [points_of(hull)[0]]
    assert receipt["short"] == "a carrier fetched it"


def test_a_reason_for_nothing_is_not_kept() -> None:
    a_shop()
    hull = a_finished_boat()
    assert goes_home(hull, short="typed by the way").done
    assert the_record().body["receipt"]["short"] == ""


def test_points_that_are_none_of_this_finish_count_for_nothing() -> None:
    a_shop()
    hull = a_finished_boat()
    with pytest.raises(EngineError, match="Talk every point through"):
        goes_home(hull, care=("Anything at all.",))


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"to": "  "}, "to"),
        ({"to": "x" * (NAME_LENGTH + 1)}, "to"),
        ({"signature": ""}, "signature"),
        ({"signature": "<svg/>"}, "signature"),
        ({"signature": "10,10"}, "signature"),
        ({"goods": ("x",) * (MOST_THINGS + 1)}, "goods"),
        ({"goods": ("x" * 121,)}, "goods"),
        ({"goods": ("a\x00b",)}, "goods"),
        ({"signature": "", "paper": 999}, "signed_paper"),
    ],
)
def test_what_cannot_stand_on_the_record_is_refused_beside_its_field(changed: dict[str, Any], field: str) -> None:
    a_shop()
    hull = a_finished_boat()
    with pytest.raises(EngineError) as refused:
        goes_home(hull, **changed)
    assert refused.value.field == field
    assert HullWork.objects.get(pk=hull.pk).handed_over_at is None
    assert not Entry.objects.filter(stage="hand_over").exists()


@pytest.mark.parametrize("name", ["אוריאל לוי", "ጸሐይ ታደሰ", "李小龍 🛶", "O’Brien-Ñandú"])
def test_names_in_any_script_stand_as_they_were_typed(name: str) -> None:
    a_shop()
    hull = a_finished_boat()
    assert goes_home(hull, to=name, goods=(name,)).done
    assert the_record().body["receipt"]["to"] == name


def a_paper(hull_id: int, colour: str = "white") -> Photo:
    file = io.BytesIO(a_file(image=Image.new("RGB", (60, 80), colour)))
    number = keep_signed_paper(hull_id=hull_id, file=file, hand=hand())
    return worked(Photo.objects.get(pk=number))


def test_signed_on_paper_its_photo_stands_on_the_record_and_in_no_album() -> None:
    a_shop()
    hull = a_finished_boat()
    paper = a_paper(hull.pk)
    assert goes_home(hull, signature="", paper=paper.pk).done
    assert the_record().body["receipt"]["paper"] == paper.pk
    assert paper.pk not in [held["photo"] for held in the_record().body["photos"]]
    assert paper not in in_sight(hull.pk)
    assert not shared_photos().filter(pk=paper.pk).exists()
    with pytest.raises(EngineError, match="no such photo"):
        change_photo(hull_id=hull.pk, photo=paper.pk, shared=True, hand=hand())
    assert list(differences()) == []


def test_the_paper_s_photo_is_struck_only_after_the_hand_over_that_leans_on_it() -> None:
    a_shop()
    hull = a_finished_boat()
    paper = a_paper(hull.pk)
    assert goes_home(hull, signature="", paper=paper.pk).done
    with pytest.raises(EngineError, match="Strike that first"):
        strike(paper)
    assert strike_last(hull, "finished").done
    strike(paper)
    assert Photo.objects.get(pk=paper.pk).struck_at is not None


def test_the_same_paper_sent_again_is_one_photo_and_another_one_another() -> None:
    a_shop()
    hull = a_finished_boat()
    who = hand()
    one, other = a_file(), a_file("PNG")
    kept = [keep_signed_paper(hull_id=hull.pk, file=io.BytesIO(file), hand=who) for file in (one, one, other)]
    assert kept[0] == kept[1] != kept[2]


def test_a_paper_of_another_boat_is_none() -> None:
    a_shop()
    hull, other = a_finished_boat(), a_finished_boat("H-2")
    with pytest.raises(EngineError, match="photo of the paper could not be kept"):
        goes_home(hull, signature="", paper=a_paper(other.pk).pk)


def test_a_strike_withdraws_the_record_and_the_signature_and_keeps_the_history() -> None:
    a_shop()
    hull = a_finished_boat()
    assert goes_home(hull).done
    assert strike_last(hull, "finished").done
    assert not FinishRecord.objects.filter(withdrawn_at=None).exists()
    assert FinishRecord.objects.get().body["receipt"]["signature"] == SIGNED
    assert HullWork.objects.get(pk=hull.pk).station_id is not None
    assert goes_home(hull, to="Her brother", signature="0,0 900,300").done
    assert the_record().version == 2
    assert the_record().body["receipt"]["to"] == "Her brother"
    assert list(differences()) == []


def test_a_line_struck_later_renews_the_record_with_the_same_signature() -> None:
    a_shop()
    hull = a_finished_boat()
    assert notes.record_moisture(hull_id=hull.pk, moisture_pct=11.0, hand=hand()).done
    assert goes_home(hull).done
    number = Entry.objects.get(hull=hull, kind="moisture").number
    assert strike_entry(hull_id=hull.pk, number=number, reason="wrong boat", hand=hand(by=the_shop_owner())).done
    assert the_record().version == 2
    assert the_record().body["receipt"]["signature"] == SIGNED


def test_no_other_act_finishes_it() -> None:
    a_shop()
    hull = a_finished_boat()
    assert bench.start_stage(hull_id=hull.pk, stage="hand_over", hand=hand()).done
    boss = hand(by=the_shop_owner(), override="it was always done like this")
    with pytest.raises(EngineError, match="goes home by its hand-over") as refused:
        bench.finish_stage(hull_id=hull.pk, stage="hand_over", hand=boss)
    assert refused.value.field == "stage"
    assert HullWork.objects.get(pk=hull.pk).handed_over_at is None


def test_it_is_never_left_out_lest_the_boat_stands_there_with_nothing_left_to_do() -> None:
    a_shop()
    hull = a_finished_boat()
    boss = hand(by=the_shop_owner(), override="she was fetched at night")
    with pytest.raises(EngineError, match="never left out") as refused:
        bench.leave_out(hull_id=hull.pk, stage="hand_over", reason="she was fetched at night", hand=boss)
    assert refused.value.field == "stage"
    assert goes_home(hull).done


CARRIER = "a carrier takes it; Ada wrote on 3 May that he may"


def test_a_boat_that_goes_by_carrier_has_the_reason_on_record_in_the_place_of_a_signature() -> None:
    a_shop()
    hull = a_finished_boat()
    assert goes_home(hull, to="Noor Vance, carrier", signature="", care=(), unsigned=CARRIER).done
    receipt = the_record().body["receipt"]
    assert (receipt["signature"], receipt["paper"], receipt["unsigned"]) == ("", None, CARRIER)
    assert receipt["left"] == list(points_of(hull))  # nobody was there to hear them
    assert list(differences()) == []


@pytest.mark.parametrize(("why", "field"), [("  ", "signature"), ("x" * 401, "unsigned"), ("a\x00b", "unsigned")])
def test_a_reason_that_is_none_takes_no_signature_s_place(why: str, field: str) -> None:
    a_shop()
    hull = a_finished_boat()
    with pytest.raises(EngineError) as refused:
        goes_home(hull, signature="", unsigned=why)
    assert refused.value.field == field


def test_where_somebody_signed_no_reason_for_its_lack_is_kept_or_counts() -> None:
    a_shop()
    hull = a_finished_boat()
    with pytest.raises(EngineError, match="Talk every point through"):
        goes_home(hull, care=(), unsigned=CARRIER)
    assert goes_home(hull, unsigned=CARRIER).done
    assert the_record().body["receipt"]["unsigned"] == ""


def test_a_carrier_takes_no_boat_of_which_a_photo_is_missing_without_a_word_on_it() -> None:
    a_shop()
    hull = a_finished_boat(photos=False)
    with pytest.raises(EngineError, match="A photo is missing"):
        goes_home(hull, signature="", care=(), unsigned=CARRIER)


def test_the_audit_names_a_record_that_does_not_say_what_the_line_says() -> None:
    a_shop()
    hull = a_finished_boat()
    assert goes_home(hull).done
    body = {**the_record().body, "receipt": {**the_record().body["receipt"], "to": "A stranger"}}
    FinishRecord.objects.update(body=body, digest=digest(body))
    (found,) = differences()
    assert found.where == "what was signed for, finish record 1"
    assert SIGNED not in str(found)


def test_the_seal_of_the_line_holds_the_signature() -> None:
    a_shop()
    hull = a_finished_boat()
    assert goes_home(hull).done
    line = line_of_it()
    with connection.cursor() as cursor:
        changed = json.dumps(line.details).replace("700,170", "700,171")
        cursor.execute("UPDATE stages_entry SET details = %s WHERE id = %s", [changed, line.pk])
    assert "seal" in next(differences()).where


@pytest.mark.parametrize("wish", [Wish.EVERY, Wish.MILESTONES, Wish.ACT])
def test_whatever_they_chose_one_letter_brings_the_owner_to_the_record(wish: Wish) -> None:
    a_shop_that_writes()
    hull = a_finished_boat()
    an_owner_hears(hull, wish)
    Message.objects.all().delete()
    assert goes_home(hull).done
    letter = when_due(Message.objects.get())
    assert letter.kind == MessageKind.RECORD
    assert "finish-record/" in letter.text
    assert letter.state == MessageState.KEPT  # the test shop has no mail server


def test_who_wants_no_letters_gets_none_of_it() -> None:
    a_shop_that_writes()
    hull = a_finished_boat()
    an_owner_hears(hull, Wish.NOTHING)
    assert goes_home(hull).done
    assert not Message.objects.filter(kind=MessageKind.RECORD).exists()


def test_a_hand_over_that_is_struck_before_the_letter_goes_takes_it_out() -> None:
    a_shop_that_writes()
    hull = a_finished_boat()
    an_owner_hears(hull)
    assert goes_home(hull).done
    assert strike_last(hull, "finished").done
    assert Message.objects.get(kind=MessageKind.RECORD).state == MessageState.DROPPED


def test_hours_that_it_took_are_on_the_line_as_of_any_step() -> None:
    a_shop()
    hull = a_finished_boat()
    assert hand_over(hull_id=hull.pk, receipt=a_receipt(hull), hand=hand(), hours=0.75).done
    assert line_of_it().details["hours"] == 0.75
