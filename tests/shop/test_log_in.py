"""Log-in, how long it lasts, lock-out, log-out."""

from datetime import timedelta

import pytest
from django.conf import settings
from django.test import Client
from django.utils import timezone
from time_machine import travel

from shop.models import Role
from shop.services.people import CREW_STAYS_D, OWNER_STAYS_D, SCREEN_STAYS_D, unlock
from tests.factories import a_crew_member, the_shop_owner

pytestmark = pytest.mark.django_db

PASSWORD = "cedar and brass"


def log_in(client: Client, username: str = "hand", password: str = PASSWORD, **more: str) -> int:
    return client.post("/login/", {"username": username, "password": password, **more}).status_code


def logged_in(client: Client) -> bool:
    return client.get("/me/").status_code == 200


# --- Log-in


def test_the_right_password_logs_in_and_leads_to_the_floor(client: Client) -> None:
    a_crew_member()
    response = client.post("/login/", {"username": "hand", "password": PASSWORD})
    assert (response.status_code, response["Location"]) == (302, "/")
    assert logged_in(client)


def test_it_leads_back_to_the_page_that_was_asked_for(client: Client) -> None:
    a_crew_member()
    asked = client.get("/rules/")
    assert asked["Location"] == "/login/?next=/rules/"
    assert 'name="next" value="/rules/"' in client.get(asked["Location"]).content.decode()
    response = client.post("/login/", {"username": "hand", "password": PASSWORD, "next": "/rules/"})
    assert response["Location"] == "/rules/"


def test_it_leads_to_no_other_site(client: Client) -> None:
    a_crew_member()
    data = {"username": "hand", "password": PASSWORD, "next": "https://example.org/"}
    assert client.post("/login/", data)["Location"] == "/"


def test_it_leads_nobody_round_in_a_ring(client: Client) -> None:
    a_crew_member()
    ring = "/login/?next=/login/"
    data = {"username": "hand", "password": PASSWORD, "next": "/login/?next=/rules/"}
    for ask in (client.post(ring, data), client.get(ring)):
        assert (ask.status_code, ask["Location"]) == (302, "/")


@pytest.mark.parametrize(("username", "password"), [("hand", "wrong"), ("nobody", PASSWORD), ("", ""), ("hand", "")])
def test_a_wrong_name_or_password_gets_the_form_back_with_the_name_kept(
    client: Client, username: str, password: str
) -> None:
    a_crew_member()
    response = client.post("/login/", {"username": username, "password": password})
    assert response.status_code == 200
    page = response.content.decode()
    assert "errorlist" in page
    assert not username or f'value="{username}"' in page
    assert not logged_in(client)


def test_a_wrong_name_and_a_wrong_password_are_answered_alike(client: Client) -> None:
    a_crew_member()
    answers = [
        client.post("/login/", {"username": name, "password": "x"}).content.decode() for name in ("hand", "dnah")
    ]
    assert "Please enter a correct" in answers[0]
    assert answers[0].count("errorlist") == answers[1].count("errorlist")


def test_somebody_who_left_cannot_log_in(client: Client) -> None:
    person = a_crew_member()
    person.is_active = False
    person.save()
    log_in(client)
    assert not logged_in(client)


def test_whoever_is_logged_in_needs_no_log_in_page(client: Client) -> None:
    client.force_login(a_crew_member())
    assert client.get("/login/")["Location"] == "/"


def test_a_part_of_a_page_has_the_page_loaded_anew_when_the_session_is_over(client: Client) -> None:
    response = client.get("/rules/", headers={"HX-Request": "true"})
    assert (response.status_code, response["HX-Refresh"]) == (200, "true")
    assert response.content == b""


@pytest.mark.parametrize("address", ["/air/", "/air/weather/"])
def test_a_form_that_a_page_sends_by_itself_stays_there_when_the_session_is_over(client: Client, address: str) -> None:
    response = client.post(address, headers={"HX-Request": "true"})
    assert (response.status_code, response.content) == (401, b"")
    assert not {"HX-Redirect", "HX-Refresh", "Location"} & set(response.headers)


# --- How long it lasts, and its cookie


@pytest.mark.parametrize(
    ("role", "days"), [(Role.OWNER, OWNER_STAYS_D), (Role.CREW, CREW_STAYS_D), (Role.LOOK, SCREEN_STAYS_D)]
)
def test_a_log_in_lasts_as_long_as_its_role(client: Client, role: Role, days: int) -> None:
    a_crew_member(role=role)
    now = timezone.now()
    with travel(now, tick=False):
        log_in(client)
    with travel(now + timedelta(days=days) - timedelta(minutes=1)):
        assert logged_in(client)
    with travel(now + timedelta(days=days) + timedelta(minutes=1)):
        assert not logged_in(client)


def test_the_session_s_cookie_is_out_of_reach_of_scripts_and_other_sites(client: Client) -> None:
    a_crew_member()
    log_in(client)
    cookie = client.cookies[settings.SESSION_COOKIE_NAME]
    assert (cookie["httponly"], cookie["samesite"]) == (True, "Lax")
    assert client.cookies[settings.CSRF_COOKIE_NAME]["samesite"] == "Lax"


def test_a_new_session_number_is_given_at_the_log_in(client: Client) -> None:
    a_crew_member()
    client.get("/login/")
    log_in(client)
    first = client.cookies["sessionid"].value
    client.post("/logout/")
    log_in(client)
    assert client.cookies["sessionid"].value != first


# --- Lock-out


def fail(client: Client, times: int, username: str = "hand") -> list[int]:
    return [log_in(client, username, "wrong") for _ in range(times)]


def test_after_five_wrong_passwords_the_log_in_is_closed_even_for_the_right_one(client: Client) -> None:
    a_crew_member()
    assert fail(client, 5) == [200, 200, 200, 200, 429]
    response = client.post("/login/", {"username": "hand", "password": PASSWORD})
    assert response.status_code == 429
    page = response.content.decode()
    assert "After 5 wrong passwords" in page
    assert "Wait 15 minutes" in page
    assert response["Retry-After"] == "900"
    assert not logged_in(client)


def test_four_wrong_passwords_close_nothing(client: Client) -> None:
    a_crew_member()
    fail(client, 4)
    assert log_in(client) == 302


def test_a_right_password_forgets_the_wrong_ones(client: Client) -> None:
    a_crew_member()
    fail(client, 4)
    log_in(client)
    client.post("/logout/")
    assert fail(client, 4) == [200, 200, 200, 200]


def test_nobody_else_is_locked_out(client: Client) -> None:
    a_crew_member()
    the_shop_owner()
    fail(client, 5)
    assert log_in(client, "boss") == 302


def test_it_opens_again_after_a_quarter_of_an_hour(client: Client) -> None:
    a_crew_member()
    now = timezone.now()
    with travel(now, tick=False):
        fail(client, 5)
    with travel(now + timedelta(minutes=14)):
        assert log_in(client) == 429
    with travel(now + timedelta(minutes=45)):
        assert log_in(client) == 302


def test_the_shop_s_owner_opens_it_at_once(client: Client) -> None:
    person = a_crew_member()
    fail(client, 5)
    assert unlock(person=person) > 0
    assert log_in(client) == 302


# --- Log-out


def test_logging_out_ends_the_session(client: Client) -> None:
    client.force_login(a_crew_member())
    assert client.post("/logout/")["Location"] == "/login/"
    assert not logged_in(client)


def test_a_link_logs_nobody_out(client: Client) -> None:
    client.force_login(a_crew_member())
    assert client.get("/logout/").status_code == 405
    assert logged_in(client)
