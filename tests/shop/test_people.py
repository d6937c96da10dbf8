"""Everybody's own page, and what a role is."""

import pytest
from django.test import Client

from shop.models import CrewMember, Role
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
