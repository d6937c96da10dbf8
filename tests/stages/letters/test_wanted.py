"""Which steps an owner hears of, by the route that a new shop starts with."""

import pytest

from hulls.models import Wish
from shop.models import Shop
from stages.letters.wanted import wants_step
from stages.models import Route
from stages.queries.routes import engine_route, read_route
from tests.factories import a_shop

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop() -> Shop:
    return a_shop()


def test_the_milestones_are_what_changes_the_boat_in_its_owner_s_eyes() -> None:
    route = engine_route(Route.objects.get(current=True))
    names = {spec.key for spec in route.stages if spec.milestone}
    assert {"survey", "hand_over"} <= names
    assert names < {spec.key for spec in route.stages}
    products = {spec.product for spec in route.stages if spec.key in names and spec.product}
    assert {"canvas", "enamel", "varnish"} <= {str(product) for product in products}
    assert "primer" not in {str(product) for product in products}


def test_what_is_wanted_grows_from_nothing_to_every_step() -> None:
    stages = engine_route(Route.objects.get(current=True)).stages
    heard = {wish: sum(wants_step(wish, spec) for spec in stages) for wish in Wish}
    assert heard[Wish.NOTHING] == heard[Wish.ACT] == 0
    assert 0 < heard[Wish.MILESTONES] < heard[Wish.EVERY] == len(stages)


def test_which_steps_are_milestones_is_the_route_s_to_say() -> None:
    stages = Route.objects.get(current=True).stages
    stages.update(milestone=False)
    stages.filter(key="ribs").update(milestone=True)
    route = Route.objects.get(current=True)
    found = read_route(route.pk, route.name, route.version).stages
    assert [spec.key for spec in found if wants_step(Wish.MILESTONES, spec)] == ["ribs"]
