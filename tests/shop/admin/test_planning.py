"""The settings pages of planning and of skills."""

import pytest
from django.test import Client

from shop.models import Planning, Shop, Skill
from tests.factories import a_crew_member, a_shop, the_shop_owner
from tests.settings_pages import address, filled

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client: Client) -> Client:
    client.force_login(the_shop_owner())
    a_shop()
    return client


def test_the_country_of_the_holidays_is_kept_in_capitals(owner: Client) -> None:
    page = address(Planning, "change", 1)
    assert owner.get(address(Planning, "changelist"))["Location"] == page
    data = filled(owner.get(page)) | {"country": "ca", "region": "on"}
    assert owner.post(page, data).status_code == 302
    assert (Shop.the_one().country, Shop.the_one().region) == ("CA", "ON")


@pytest.mark.parametrize(
    ("country", "region", "says"),
    [
        ("XQ", "", "No holidays are known of that country."),
        ("CA", "TX", "Known there: AB,"),
        ("", "ON", "Say of which country."),
    ],
)
def test_a_country_or_region_that_nobody_knows_is_refused(owner: Client, country: str, region: str, says: str) -> None:
    page = address(Planning, "change", 1)
    answer = owner.post(page, filled(owner.get(page)) | {"country": country, "region": region})
    assert says in answer.content.decode()
    assert Shop.the_one().country == ""


def test_a_skill_names_who_has_it_and_stays_while_a_route_asks_for_it(owner: Client) -> None:
    ines = a_crew_member("ines")
    a_crew_member("wall", role="look")  # type: ignore[arg-type]
    canvas = Skill.objects.get(name="Canvas")
    page = address(Skill, "change", canvas.pk)
    assert "wall" not in owner.get(page).content.decode()
    assert owner.post(page, {"name": "Canvas", "people": [ines.pk]}).status_code == 302
    assert list(canvas.people.all()) == [ines]
    assert "ines" in owner.get(address(Skill, "changelist")).content.decode()
    assert owner.post(address(Skill, "delete", canvas.pk), {"post": "yes"}).status_code == 403
    spare = Skill.objects.create(name="Caning")
    assert owner.post(address(Skill, "delete", spare.pk), {"post": "yes"}).status_code == 302
