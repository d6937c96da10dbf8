"""The crew on the settings pages: log-ins, roles, passwords."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import CrewMember, Role, Shop
from stages.services import bench
from tests.factories import a_crew_member, a_hull, a_shop, hand, the_shop_owner
from tests.settings_pages import act_on, address, filled, said

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client: Client) -> Client:
    client.force_login(the_shop_owner())
    return client


@pytest.fixture
def shop() -> Shop:
    return a_shop()


def crew_form(client: Client, person: CrewMember) -> dict[str, Any]:
    data = filled(client.get(address(CrewMember, "change", person.pk)))
    data.pop("password", None)
    return data


def test_somebody_new_gets_a_log_in_with_a_role(owner: Client) -> None:
    data = {"username": "ines", "role": "look", "password1": "white cedar 14", "password2": "white cedar 14"}
    assert owner.post(address(CrewMember, "add"), data).status_code == 302
    person = CrewMember.objects.get(username="ines")
    assert (person.role, person.check_password("white cedar 14")) == (Role.LOOK, True)


def test_a_weak_password_is_refused(owner: Client) -> None:
    data = {"username": "ines", "role": "crew", "password1": "password", "password2": "password"}
    assert "too common" in owner.post(address(CrewMember, "add"), data).content.decode()
    assert not CrewMember.objects.filter(username="ines").exists()


def test_a_role_is_changed_and_flags_of_rights_cannot_be(owner: Client) -> None:
    person = a_crew_member()
    data = crew_form(owner, person)
    assert {"is_staff", "is_superuser", "groups", "user_permissions"}.isdisjoint(data)
    owner.post(address(CrewMember, "change", person.pk), data | {"role": "look", "is_superuser": "on"})
    person.refresh_from_db()
    assert (person.role, person.is_superuser) == (Role.LOOK, False)


@pytest.mark.parametrize("change", [{"role": "crew"}, {"is_active": ""}])
def test_the_last_owner_cannot_lock_everybody_out(owner: Client, change: dict[str, str]) -> None:
    boss = the_shop_owner()
    response = owner.post(address(CrewMember, "change", boss.pk), crew_form(owner, boss) | change)
    assert "The shop needs an owner who can log in" in response.content.decode()
    boss.refresh_from_db()
    assert (boss.role, boss.is_active) == (Role.OWNER, True)


def test_an_owner_may_go_while_another_one_stays(owner: Client) -> None:
    a_crew_member("second", Role.OWNER)
    boss = the_shop_owner()
    data = crew_form(owner, boss) | {"role": "crew"}
    assert owner.post(address(CrewMember, "change", boss.pk), data).status_code == 302
    boss.refresh_from_db()
    assert boss.role == Role.CREW
    assert owner.get("/admin/").status_code == 302


def test_nobody_deletes_their_own_log_in_nor_one_that_the_log_names(shop: Shop, owner: Client) -> None:
    boss, worked, idle = the_shop_owner(), a_crew_member(), a_crew_member("idle")
    hull = a_hull()
    bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand(by=worked))
    assert owner.post(address(CrewMember, "delete", boss.pk), {"post": "yes"}).status_code == 403
    assert owner.post(address(CrewMember, "delete", worked.pk), {"post": "yes"}).status_code == 200
    assert owner.post(address(CrewMember, "delete", idle.pk), {"post": "yes"}).status_code == 302
    assert set(CrewMember.objects.values_list("username", flat=True)) == {"boss", "hand"}


def test_a_new_password_from_the_owner_ends_the_sessions_of_the_old_one(owner: Client) -> None:
    person, phone = a_crew_member(), Client()
    phone.force_login(person)
    path = reverse("admin:auth_user_password_change", args=[person.pk])
    new = {"password1": "white cedar 14", "password2": "white cedar 14"}
    assert owner.post(path, new).status_code == 302
    person.refresh_from_db()
    assert person.check_password("white cedar 14")
    assert phone.get("/me/").status_code == 302


def test_the_owner_logs_somebody_out_everywhere(owner: Client) -> None:
    person, phone = a_crew_member(), Client()
    phone.force_login(person)
    assert "1 person is logged out." in said(act_on(owner, "log_out", person))
    assert phone.get("/me/").status_code == 302
    assert owner.get("/me/").status_code == 200


def test_the_owner_opens_a_log_in_after_too_many_wrong_passwords(owner: Client) -> None:
    person, phone = a_crew_member(), Client()
    for _ in range(5):
        phone.post("/login/", {"username": "hand", "password": "wrong"})
    right = {"username": "hand", "password": "cedar and brass"}
    assert phone.post("/login/", right).status_code == 429
    assert "1 log-in is open." in said(act_on(owner, "open_again", person))
    assert phone.post("/login/", right).status_code == 302
