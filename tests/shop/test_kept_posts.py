"""A plain form that is sent after the log-in has ended: it is carried through the log-in, and shown to its writer."""

import re
from datetime import timedelta
from html import unescape
from typing import Any
from uuid import uuid4

import pytest
from django.conf import settings
from django.contrib.sessions.models import Session
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone
from time_machine import travel

from shop.kept_posts import MOST_BYTES, KeptPost, sealed, unsealed
from shop.models import CrewMember
from shop.services.people import unlock
from stages.models import Entry
from tests.answers import Answer
from tests.factories import a_crew_member, a_hull, a_shop, the_shop_owner
from tests.stages.handing_over import SIGNED

pytestmark = pytest.mark.django_db

PASSWORD, NOTE = "cedar and brass", "/hulls/H-1/do/note/"
TEXT = 'The bow is soft <b>below</b> the "deck"; 3 % ✓\nTwo planks.'


@pytest.fixture
def hand() -> CrewMember:
    a_shop()
    a_hull("H-1")
    return a_crew_member("ada")


def log_in(client: Client, username: str = "ada", password: str = PASSWORD, **more: str) -> Answer:
    return client.post("/login/", {"username": username, "password": password, **more})


def after_its_end(username: str = "ada") -> Client:
    """A browser whose log-in is over."""
    client = Client()
    assert log_in(client, username).status_code == 302
    Session.objects.all().delete()
    return client


def hidden(html: str) -> dict[str, str]:
    found = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)">', html)
    return {name: unescape(value) for name, value in found}


def note(text: str = TEXT) -> dict[str, Any]:
    return {"client_id": str(uuid4()), "text": text, "at": ""}


def test_what_was_typed_comes_back_after_the_log_in_and_one_press_records_it_once(hand: CrewMember) -> None:
    client, form = after_its_end(), note()
    asked = client.post(NOTE, form)
    assert asked.status_code == 401
    assert "What you filled in is kept" in asked.content.decode()
    assert "no-store" in asked["Cache-Control"]
    wrong = log_in(client, password="wrong", kept=hidden(asked.content.decode())["kept"])
    back = log_in(client, kept=hidden(wrong.content.decode())["kept"])
    html = back.content.decode()
    assert back.status_code == 200
    assert "The bow is soft &lt;b&gt;below&lt;/b&gt;" in html
    assert f'<form method="post" action="{NOTE}">' in html
    assert not Entry.objects.filter(kind="note").exists()
    again = {name: value for name, value in hidden(html).items() if name in form}
    assert again == form
    for _ in range(2):
        assert client.post(NOTE, again).status_code == 303
    assert [entry.details["text"] for entry in Entry.objects.filter(kind="note")] == [TEXT]


def test_every_value_of_a_field_comes_back_in_its_order(hand: CrewMember) -> None:
    client = after_its_end()
    asked = client.post("/hulls/H-1/hand-over/?from=sheet", {"care": ["b", "a"], "signature": SIGNED})
    html = log_in(client, kept=hidden(asked.content.decode())["kept"]).content.decode()
    assert re.findall(r'name="care" value="(\w)"', html) == ["b", "a"]
    assert 'action="/hulls/H-1/hand-over/?from=sheet"' in html
    assert f'name="signature" value="{SIGNED}"' in html
    assert re.findall(r"<dt>(.*?)</dt><dd[^>]*>(.*?)</dd>", html) == [("Care", "2 chosen"), ("Signature", "is kept")]


def test_a_log_in_that_is_closed_for_a_while_does_not_lose_it(hand: CrewMember) -> None:
    client = after_its_end()
    kept = hidden(client.post(NOTE, note()).content.decode())["kept"]
    for _ in range(settings.AXES_FAILURE_LIMIT):
        closed = log_in(client, password="wrong", kept=kept)
    assert closed.status_code == 429
    assert "go on from this page" in closed.content.decode()
    back = client.post("/login/", {"kept": hidden(closed.content.decode())["kept"]})
    assert unlock(person=hand) > 0
    html = log_in(client, kept=hidden(back.content.decode())["kept"]).content.decode()
    assert "The bow is soft" in html


def test_who_has_no_right_to_the_settings_is_not_told_to_have_been_logged_out(hand: CrewMember) -> None:
    client = Client()
    client.force_login(hand)
    response = client.post("/admin/shop/zone/add/", {"name": "Loft"})
    assert (response.status_code, response["Location"]) == (302, "/admin/login/?next=/admin/shop/zone/add/")


def test_files_are_not_kept_and_it_says_so(hand: CrewMember) -> None:
    client = after_its_end()
    photo = SimpleUploadedFile("bow.jpg", b"\xff\xd8\xff", "image/jpeg")
    asked = client.post("/hulls/H-1/do/photo/", {"client_id": uuid4(), "caption": "The bow", "images": photo})
    html = log_in(client, kept=hidden(asked.content.decode())["kept"]).content.decode()
    assert "The bow" in html
    assert "files that were chosen with it are not kept" in html


def test_nobody_else_sees_it(hand: CrewMember) -> None:
    a_crew_member("ben")
    client = after_its_end("ada")
    kept = hidden(client.post(NOTE, note()).content.decode())["kept"]
    response = log_in(client, "ben", kept=kept)
    assert response.status_code == 302
    html = client.get(response["Location"]).content.decode()
    assert "somebody else’s. It was not sent." in html
    assert "The bow is soft" not in html


def test_the_settings_pages_keep_it_too(hand: CrewMember) -> None:
    the_shop_owner()
    client = after_its_end("boss")
    asked = client.post("/admin/shop/zone/add/", {"name": "Loft above the bench", "_save": "Save"})
    html = log_in(client, "boss", kept=hidden(asked.content.decode())["kept"]).content.decode()
    assert '<dd dir="auto">Loft above the bench</dd>' in html
    assert 'name="_save" value="Save"' in html
    assert "<dt>Save" not in html


@pytest.fixture
def a_sealed_note(hand: CrewMember) -> str:
    return sealed(KeptPost(path=NOTE, who=hand.pk, fields=(("text", TEXT),), may_lack_files=False))


def test_it_is_kept_for_an_hour(a_sealed_note: str) -> None:
    with travel(timezone.now() + timedelta(minutes=59), tick=False):
        assert unsealed(a_sealed_note) is not None
    with travel(timezone.now() + timedelta(minutes=61), tick=False):
        client = Client()
        response = log_in(client, kept=a_sealed_note)
        assert "kept for an hour. It is gone by now." in client.get(response["Location"]).content.decode()


@pytest.mark.parametrize("change", [lambda text: text + "x", lambda text: text[::-1], lambda text: "a:b:c"])
def test_what_we_did_not_seal_counts_for_nothing(a_sealed_note: str, change: Any) -> None:
    assert unsealed(change(a_sealed_note)) is None
    assert log_in(Client(), kept=change(a_sealed_note)).status_code == 302


@pytest.mark.parametrize(("length", "is_kept"), [(MOST_BYTES - 4, True), (MOST_BYTES - 3, False)])
def test_what_is_too_long_is_said_to_be(hand: CrewMember, length: int, is_kept: bool) -> None:
    asked = after_its_end().post(NOTE, {"text": "x" * length}).content.decode()
    assert ("kept" in hidden(asked)) is is_kept
    assert ("too long to be taken along" in asked) is not is_kept


def test_passwords_are_never_carried_along(hand: CrewMember) -> None:
    form = {"old_password": PASSWORD, "new_password1": "white oak", "new_password2": "white oak"}
    response = after_its_end().post("/me/password/", form)
    assert (response.status_code, response["Location"]) == (302, "/login/?next=/me/password/")


def test_nothing_typed_is_led_to_the_log_in_as_ever_and_htmx_stays_where_it_is(hand: CrewMember) -> None:
    client = after_its_end()
    assert client.post(NOTE)["Location"] == f"/login/?next={NOTE}"
    assert client.post(NOTE, note(), headers={"HX-Request": "true"}).status_code == 401
    assert client.post(NOTE, note(), headers={"HX-Request": "true"}).content == b""


def test_what_remembers_who_was_here_opens_nothing(hand: CrewMember) -> None:
    client = after_its_end()
    cookie = client.cookies["last_here"]
    assert (cookie["httponly"], cookie["samesite"]) == (True, "Lax")
    assert client.get("/me/")["Location"] == "/login/?next=/me/"
