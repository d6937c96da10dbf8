"""Routes on the settings pages: drafts are written and published, published versions only read."""

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from shop.models import Shop
from stages.audit import differences
from stages.models import HullWork, Route, RouteStage
from stages.queries.routes import engine_route
from stages.services.arrival import next_version, publish_route
from tests.factories import a_hull, a_shop, the_shop_owner
from tests.settings_pages import act_on, address, filled, said, stage_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client: Client) -> Client:
    client.force_login(the_shop_owner())
    return client


@pytest.fixture
def shop() -> Shop:
    return a_shop()


def test_a_published_version_is_only_read(shop: Shop, owner: Client) -> None:
    route = Route.objects.get()
    stages = list(RouteStage.objects.order_by("pk").values())
    page = owner.get(address(Route, "change", route.pk))
    assert 'name="_save"' not in page.content.decode()
    assert "Stretch and tack the canvas" in page.content.decode()
    assert owner.post(address(Route, "change", route.pk), {"name": "Another"}).status_code == 403
    assert owner.post(address(Route, "delete", route.pk), {"post": "yes"}).status_code == 403
    assert act_on(owner, "delete_selected", route).status_code in (302, 200)
    owner.post(
        address(Route, "changelist"), {"action": "delete_selected", "_selected_action": [route.pk], "post": "yes"}
    )
    assert list(RouteStage.objects.order_by("pk").values()) == stages
    assert Route.objects.get().name == route.name


def test_a_draft_of_the_next_version_is_made_stage_by_stage_and_can_be_changed(shop: Shop, owner: Client) -> None:
    assert "Wood and canvas 2 is a draft now." in said(act_on(owner, "draft_next", Route.objects.get()))
    draft = Route.objects.get(version=2)
    assert engine_route(draft).stages == engine_route(Route.objects.get(version=1)).stages
    data = filled(owner.get(address(Route, "change", draft.pk)))
    enamel = stage_of(data, "enamel")
    data |= {f"{enamel}coats": 4, f"{enamel}gates": ["rags"]}
    assert owner.post(address(Route, "change", draft.pk), data).status_code == 302
    changed = engine_route(Route.objects.get(version=2))
    assert changed.by_key["enamel"].coats == 4
    assert changed.by_key["enamel"].gates == {"rags"}
    same = {spec.key for spec in changed.stages} - {"enamel"}
    old = engine_route(Route.objects.get(version=1))
    assert [key for key in same if changed.by_key[key] != old.by_key[key]] == []


def a_short_draft() -> Route:
    """Two coats' worth of a route."""
    draft = Route.objects.create(name="Short")
    prime = RouteStage.objects.create(route=draft, key="prime", name="Prime")
    coats = {"coats": 3, "product_kind": "enamel", "surface": "skin"}
    RouteStage.objects.create(route=draft, key="enamel", name="Enamel", position=1, **coats).after.add(prime)
    return draft


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("when", "sometimes", "is not a condition"),
        ("coats", 13, "less than or equal to 12"),
        ("coats", -1, "greater than or equal to 0"),
        ("product_kind", "", "Say of which kind of product"),
        ("surface", "", "Say of which kind of product"),
        ("hours_fixed", -0.5, "greater than or equal to 0"),
        ("key", "prime", "duplicate"),
        ("key", "Two words", "valid “slug”"),
        ("gates", ["closed"], "not one of the available choices"),
        ("name", "", "This field is required"),
        ("after", [10**9], "not one of the available choices"),
    ],
)
def test_a_bad_stage_of_a_draft_is_refused_beside_its_field_and_nothing_is_kept(
    owner: Client, field: str, value: object, says: str
) -> None:
    draft = a_short_draft()
    data = filled(owner.get(address(Route, "change", draft.pk)))
    enamel = stage_of(data, "enamel")
    data |= {f"{enamel}{field}": value, f"{enamel}caution": "new"}
    response = owner.post(address(Route, "change", draft.pk), data)
    assert response.status_code == 200
    assert says in response.content.decode()
    assert not RouteStage.objects.filter(caution="new").exists()


def test_hulls_keep_the_version_that_they_started_with_and_new_ones_take_the_published_one(
    shop: Shop, owner: Client
) -> None:
    first, before = Route.objects.get(), a_hull("H-1")
    draft = next_version(route=first)
    draft.stages.filter(key="enamel").update(coats=4)
    between = a_hull("H-2")
    assert "New hulls take Wood and canvas 2." in said(act_on(owner, "publish", draft))
    after = a_hull("H-3")
    versions = {work.hull.tag: work.route.version for work in HullWork.objects.select_related("hull", "route")}
    assert versions == {before.tag: 1, between.tag: 1, after.tag: 2}
    coats = [engine_route(HullWork.objects.get(hull=hull).route).by_key["enamel"].coats for hull in (before, after)]
    assert coats == [3, 4]
    assert list(differences()) == []


def test_publishing_an_earlier_version_again_gives_it_to_new_hulls(shop: Shop, owner: Client) -> None:
    first = Route.objects.get()
    published = first.published_at
    publish_route(route=next_version(route=first))
    act_on(owner, "publish", first)
    first.refresh_from_db()
    assert (first.current, first.published_at) == (True, published)
    assert Route.objects.filter(current=True).count() == 1


def test_stages_that_wait_for_each_other_in_a_ring_are_not_published(shop: Shop, owner: Client) -> None:
    draft = next_version(route=Route.objects.get())
    survey = draft.stages.get(key="survey")
    survey.after.set([draft.stages.get(key="final")])
    assert "wait for each other in a ring" in said(act_on(owner, "publish", draft))
    draft.refresh_from_db()
    assert (draft.current, draft.published_at) == (False, None)
    assert Route.objects.get(current=True).version == 1


def test_a_route_without_a_hand_over_is_not_published(shop: Shop, owner: Client) -> None:
    draft = next_version(route=Route.objects.get())
    draft.stages.get(key="hand_over").delete()
    assert "A route needs a step that hands the boat over." in said(act_on(owner, "publish", draft))
    assert Route.objects.get(current=True).version == 1


def test_a_route_with_two_hand_overs_is_not_published(shop: Shop, owner: Client) -> None:
    draft = next_version(route=Route.objects.get())
    final = draft.stages.get(key="final")
    final.gates = [*final.gates, "hand_over"]
    final.save()
    assert "One step alone hands the boat over." in said(act_on(owner, "publish", draft))
    assert Route.objects.get(current=True).version == 1


def test_only_one_version_is_published_at_a_time(shop: Shop, owner: Client) -> None:
    first = Route.objects.get()
    draft = next_version(route=first)
    assert "Choose one version" in said(act_on(owner, "publish", first, draft))
    assert Route.objects.get(current=True) == first


def test_a_draft_can_be_thrown_away(shop: Shop, owner: Client) -> None:
    draft = next_version(route=Route.objects.get())
    assert owner.post(address(Route, "delete", draft.pk), {"post": "yes"}).status_code == 302
    assert list(Route.objects.values_list("version", flat=True)) == [1]
    assert not RouteStage.objects.filter(route=draft.pk).exists()


def test_a_new_route_needs_a_name_of_its_own(shop: Shop, owner: Client) -> None:
    data = filled(owner.get(address(Route, "add")))
    refused = owner.post(address(Route, "add"), data | {"name": "Wood and canvas"})
    assert "There is a route of that name" in refused.content.decode()
    assert owner.post(address(Route, "add"), data | {"name": "Strip and epoxy"}).status_code == 302
    assert Route.objects.get(name="Strip and epoxy").version == 1


def test_a_draft_s_page_costs_no_query_a_stage(
    shop: Shop, owner: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    draft = next_version(route=Route.objects.get())
    few = Route.objects.create(name="Short")
    RouteStage.objects.create(route=few, key="one", name="One")
    owner.get(address(Route, "change", few.pk))
    for route in (few, draft):
        with django_assert_num_queries(9):
            owner.get(address(Route, "change", route.pk))
