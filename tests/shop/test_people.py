"""Log-in, lock-out, log-out, and everybody's own page."""

from datetime import timedelta

import pytest
from django.conf import settings
from django.test import Client
from django.utils import timezone
from time_machine import travel

from shop.models import CrewMember, Role
from shop.services.people import CREW_STAYS_D, OWNER_STAYS_D, SCREEN_STAYS_D, unlock
from tests.factories import a_crew_member, the_shop_owner

pytestmark = pytest.mark.django_db

PASSWORD = "cedar and brass"
NEW = "white oak ribs, clenched"
CHANGE, OTHERS = "/me/password/", "/me/log-out-others/"


def log_in(client: Client, username: str = "hand", password: str = PASSWORD, **more: str) -> int:
    return client.post("/login/", {"username": username, "password": password, **more}).status_code


def logged_in(client: Client) -> bool:
    return client.get("/me/").status_code == 200


def passwords(old: str = PASSWORD, new: str = NEW, again: str = NEW) -> dict[str, str]:
    return {"old_password": old, "new_password1": new, "new_password2": again}


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


# --- Own page


def test_it_says_who_one_is(client: Client) -> None:
    person = CrewMember.objects.create_user("hand", first_name="Ada", last_name="Reed", password=PASSWORD)
    client.force_login(person)
    page = client.get("/me/").content.decode()
    assert "<h1>Ada Reed</h1>" in page
    assert "crew" in page


def test_it_asks_for_a_log_in(client: Client) -> None:
    assert client.get("/me/")["Location"] == "/login/?next=/me/"
    for path in (CHANGE, OTHERS):
        assert client.post(path)["Location"] == f"/login/?next={path}"


def test_its_addresses_answer_to_their_own_method_only(client: Client) -> None:
    client.force_login(a_crew_member())
    assert client.post("/me/").status_code == 405
    assert client.get(CHANGE).status_code == 405
    assert client.get(OTHERS).status_code == 405


def test_a_screen_on_the_wall_sees_its_page_and_changes_nothing(client: Client) -> None:
    screen = a_crew_member("wall", Role.LOOK)
    client.force_login(screen)
    page = client.get("/me/").content.decode()
    assert "may look and change nothing" in page
    assert CHANGE not in page
    for path in (CHANGE, OTHERS):
        assert client.post(path, passwords()).status_code == 403
    screen.refresh_from_db()
    assert screen.check_password(PASSWORD)
    assert screen.log_in_round == 0


def test_a_new_password_takes_the_old_one_s_place_and_ends_the_other_sessions(client: Client) -> None:
    person = a_crew_member()
    elsewhere = Client()
    for session in (client, elsewhere):
        log_in(session)
    assert client.post(CHANGE, passwords())["Location"] == "/me/"
    assert logged_in(client)
    assert not logged_in(elsewhere)
    person.refresh_from_db()
    assert person.check_password(NEW)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (passwords(old="wrong"), "Your old password was entered incorrectly"),
        (passwords(again="another"), "didn’t match"),
        (passwords(new="short", again="short"), "too short"),
        (passwords(new="password", again="password"), "too common"),
        (passwords(new="2031051509", again="2031051509"), "entirely numeric"),
        ({}, "This field is required"),
    ],
)
def test_a_bad_new_password_is_refused_beside_its_field(client: Client, data: dict[str, str], says: str) -> None:
    person = a_crew_member()
    client.force_login(person)
    response = client.post(CHANGE, data)
    assert response.status_code == 422
    assert says in response.content.decode()
    person.refresh_from_db()
    assert person.check_password(PASSWORD)


def test_no_password_is_ever_sent_back(client: Client) -> None:
    client.force_login(a_crew_member())
    assert "wrong-one" not in client.post(CHANGE, passwords(old="wrong-one")).content.decode()


def test_the_other_sessions_end_and_the_present_one_stays(client: Client) -> None:
    person = a_crew_member()
    phone, tablet = Client(), Client()
    for session in (client, phone, tablet):
        log_in(session)
    assert client.post(OTHERS)["Location"] == "/me/"
    assert [logged_in(session) for session in (client, phone, tablet)] == [True, False, False]
    person.refresh_from_db()
    assert person.log_in_round == 1
    assert person.check_password(PASSWORD)


def test_sent_twice_it_ends_the_others_and_still_stays(client: Client) -> None:
    a_crew_member()
    log_in(client)
    client.post(OTHERS)
    client.post(OTHERS)
    assert logged_in(client)


def test_nobody_else_s_sessions_end(client: Client) -> None:
    boss = Client()
    boss.force_login(the_shop_owner())
    client.force_login(a_crew_member())
    client.post(OTHERS)
    assert logged_in(boss)


# --- Roles


def test_whoever_sets_the_shop_up_is_its_owner() -> None:
    person = CrewMember.objects.create_superuser("first", password=PASSWORD)
    assert person.is_shop_owner
    assert person.has_perm("shop.change_shop")


@pytest.mark.parametrize("role", [Role.CREW, Role.LOOK])
def test_django_s_own_flags_give_nobody_rights_that_the_role_has_not(role: Role) -> None:
    person = CrewMember.objects.create_user("flagged", role=role, is_staff=True, is_superuser=True)
    assert not person.has_perm("shop.change_shop")
    assert not person.has_module_perms("shop")


def test_an_owner_who_left_has_no_rights() -> None:
    assert not CrewMember(role=Role.OWNER, is_active=False).has_perm("shop.change_shop")
