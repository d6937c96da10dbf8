"""What a phone kept while it had no network: recorded with the time at which it happened, judged as of then."""

from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from hulls.models import Photo
from stages.models import Entry
from stages.services import bench, notes
from tests.factories import a_crew_member, a_hull, a_shop, hand
from tests.stages.at_work import a_primed_hull
from tests.stages.test_acts import a_photo_file, errors_of, words

pytestmark = pytest.mark.django_db

KEPT = {"HX-Request": "true", "X-Kept": "act"}


@pytest.fixture
def crew(client: Client) -> Client:
    a_shop()
    client.force_login(a_crew_member())
    return client


def send(client: Client, action: str, pressed: datetime, *, tag: str = "H-1", **fields: Any) -> Any:
    """Send an act as the queue of a phone does."""
    sent = {"client_id": uuid4(), "pressed_at": pressed.isoformat(), "who": a_crew_member().pk, **fields}
    return client.post(f"/hulls/{tag}/do/{action}/", sent, headers=KEPT)


def test_it_has_the_time_at_which_it_happened_and_the_time_at_which_it_came(crew: Client) -> None:
    now = timezone.now()
    a_hull(arrived=now - timedelta(days=3))
    happened = now - timedelta(hours=2, seconds=17)
    assert send(crew, "note", happened, text="The bow is soft.").status_code == 200
    line = Entry.objects.get(kind="note")
    assert line.at == happened
    assert now <= line.recorded_at <= timezone.now()


def test_its_answer_is_the_shops_word_alone(crew: Client) -> None:
    a_hull(arrived=timezone.now() - timedelta(days=3))
    answer = send(crew, "note", timezone.now() - timedelta(hours=1), text="The bow is soft.")
    assert "The bow is soft." in words(answer)
    assert 'id="sheet"' not in answer.content.decode()


def test_what_somebody_typed_as_its_time_goes_before_when_the_button_was_pressed(crew: Client) -> None:
    now = timezone.now().replace(second=0, microsecond=0)
    a_hull(arrived=now - timedelta(days=3))
    typed = now - timedelta(hours=5)
    send(crew, "note", now - timedelta(hours=1), text="Early.", at=typed.strftime("%Y-%m-%dT%H:%M"))
    assert Entry.objects.get(kind="note").at == typed


def test_sent_again_it_is_the_same_line(crew: Client) -> None:
    a_hull(arrived=timezone.now() - timedelta(days=3))
    number, happened = uuid4(), timezone.now() - timedelta(hours=1)
    for _ in range(2):
        assert send(crew, "note", happened, client_id=number, text="Once.").status_code == 200
    assert Entry.objects.filter(kind="note").count() == 1


def test_it_is_judged_by_the_moment_at_which_it_happened(crew: Client) -> None:
    now = timezone.now()
    a_primed_hull(coat_at=now - timedelta(days=2))
    fields = {"about": "prime", "stage": "prime", "surface": "skin", "grit": "220"}
    too_early = send(crew, "sand", now - timedelta(days=2) + timedelta(hours=1), **fields)
    assert too_early.status_code == 422
    assert "is not dry enough to be sanded" in words(too_early)
    assert send(crew, "sand", now - timedelta(hours=1), **fields).status_code == 200


def test_what_is_refused_comes_back_with_all_that_was_typed_and_its_moment(crew: Client) -> None:
    now = timezone.now()
    a_primed_hull(coat_at=now - timedelta(hours=3))
    happened = now - timedelta(hours=2)
    fields = {"about": "prime", "stage": "prime", "surface": "skin", "grit": "180"}
    html = send(crew, "sand", happened, **fields).content.decode()
    assert "<form" in html
    assert 'value="180"' in html
    assert f'name="pressed_at" value="{happened.isoformat()}"' in html


def test_a_later_one_of_the_same_hull_is_judged_where_one_before_it_was_refused(crew: Client) -> None:
    now = timezone.now()
    a_primed_hull(coat_at=now - timedelta(hours=3))
    fields = {"about": "prime", "stage": "prime", "surface": "skin"}
    assert send(crew, "sand", now - timedelta(hours=2), **fields).status_code == 422
    assert send(crew, "note", now - timedelta(hours=1), text="Sanded too early.").status_code == 200


@pytest.mark.parametrize(("ahead_min", "status"), [(4, 200), (6, 422)])
def test_a_time_that_has_not_come_is_refused_a_few_minutes_of_a_wrong_clock_aside(
    crew: Client, ahead_min: int, status: int
) -> None:
    a_hull(arrived=timezone.now() - timedelta(days=3))
    answer = send(crew, "note", timezone.now() + timedelta(minutes=ahead_min), text="Tomorrow.")
    assert answer.status_code == status
    if status == 422:
        assert errors_of(answer)["at"] == "That time has not come yet."


def test_a_time_before_the_hull_came_is_refused(crew: Client) -> None:
    a_hull(arrived=timezone.now() - timedelta(days=3))
    answer = send(crew, "note", timezone.now() - timedelta(days=4), text="A year ago.")
    assert errors_of(answer)["at"] == "That is before this hull arrived."


def test_where_the_phones_clock_was_changed_it_asks_for_the_time(crew: Client) -> None:
    now = timezone.now()
    a_hull(arrived=now - timedelta(days=3))
    answer = send(crew, "note", now - timedelta(hours=1), text="Kept.", clock_changed="on")
    assert answer.status_code == 422
    assert "Write when it was." in errors_of(answer)["at"]
    told = now.strftime("%Y-%m-%dT%H:%M")
    mended = send(crew, "note", now - timedelta(hours=1), text="Kept.", clock_changed="on", at=told)
    assert mended.status_code == 200


def test_it_is_never_recorded_under_another_name(crew: Client) -> None:
    a_hull(arrived=timezone.now() - timedelta(days=3))
    other = a_crew_member("ines")
    answer = send(crew, "note", timezone.now() - timedelta(hours=1), text="Hers.", who=other.pk)
    assert answer.status_code == 403
    assert not Entry.objects.filter(kind="note").exists()


def test_what_somebody_else_did_meanwhile_is_said_with_409(crew: Client) -> None:
    hull = a_hull(arrived=timezone.now() - timedelta(days=3))
    bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand(by=a_crew_member("ines")))
    answer = send(crew, "start", timezone.now() - timedelta(hours=1), about="survey", stage="survey")
    assert answer.status_code == 409
    assert "ines had recorded this already" in words(answer)


def test_a_photo_has_the_time_at_which_it_was_taken(crew: Client) -> None:
    a_hull(arrived=timezone.now() - timedelta(days=3))
    taken = timezone.now() - timedelta(hours=1)
    assert send(crew, "photo", taken, shot=a_photo_file(), about="survey").status_code == 200
    assert Photo.objects.get().taken_at == taken


def test_a_find_that_asks_the_owner_is_answered_without_leading_away(crew: Client) -> None:
    a_hull(arrived=timezone.now() - timedelta(days=3))
    fields = {"damage": "decks", "count": "2", "ask_owner": "on"}
    answer = send(crew, "find", timezone.now() - timedelta(hours=1), **fields)
    assert (answer.status_code, answer.has_header("HX-Redirect")) == (200, False)


def test_a_held_sheet_has_what_follows_a_start_as_no_fresh_one_comes_in_between(crew: Client) -> None:
    hull = a_hull(arrived=timezone.now() - timedelta(days=3))
    notes.write_note(hull_id=hull.pk, text="There is a log.", hand=hand())
    held = crew.get("/hulls/H-1/", headers={"X-Kept": "page"}).content.decode()
    assert 'id="do-finish-survey"' in held
    assert 'id="do-finish-survey"' not in crew.get("/hulls/H-1/").content.decode()
