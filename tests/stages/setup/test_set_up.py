"""An empty shop is set up by one command, and takes its first hull in."""

import pytest
from django.core.management import CommandError, call_command

from shop.models import CrewMember, Product, Station, StationKind
from stages.models import Route
from tests.factories import a_hull

pytestmark = pytest.mark.django_db

PASSWORD = "a plank of clear cedar"


def test_it_makes_stations_products_a_route_and_an_owner() -> None:
    call_command("set_up", "--name", "Fir Point", "--time-zone", "Europe/Oslo", "--password", PASSWORD)
    owner = CrewMember.objects.get()
    assert owner.is_shop_owner
    assert owner.check_password(PASSWORD)
    assert set(Station.objects.values_list("kind", flat=True)) == set(StationKind)
    assert Product.objects.filter(usual=True).count() == Product.objects.values("kind").distinct().count()
    assert Route.objects.get(current=True).stages.count() > 25
    assert a_hull().work.route == Route.objects.get()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--time-zone", "Mars/Base"], "is not a time zone"),
        (["--password", "short"], "too short"),
    ],
)
def test_it_refuses_what_cannot_be_and_writes_nothing(arguments: list[str], words: str) -> None:
    with pytest.raises(CommandError, match=words):
        call_command("set_up", *arguments, *(() if "--password" in arguments else ("--password", PASSWORD)))
    assert not CrewMember.objects.exists()
    assert not Station.objects.exists()


def test_a_second_run_with_the_same_owner_is_refused() -> None:
    call_command("set_up", "--password", PASSWORD)
    with pytest.raises(CommandError, match="already"):
        call_command("set_up", "--password", PASSWORD)
