"""Calendar feeds: addresses are made and withdrawn; whoever has one reads what is planned."""

import re
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from icalendar import Calendar

from hulls.models import Hull
from shop.models import CrewMember, Pulse, Shop, Station
from stages.models import Feed
from stages.queries.world import around
from stages.services.feeds import make_feed
from stages.services.links import renew_link, withdraw_link
from stages.services.planning import keep
from stages.services.replanning import plan_of
from tests.answers import Answer
from tests.factories import a_crew_member, a_hull, a_shop, hand, the_shop_owner

pytestmark = pytest.mark.django_db

ADDRESS = re.compile(r"<code>https?://[^/]+(/calendars/[^<]+\.ics)</code>")


@pytest.fixture
def hulls() -> list[Hull]:
    a_shop()
    the_shop_owner()
    a_crew_member("ines")
    found = [a_hull("H-1", name="Tern"), a_hull("H-2", name="Heron", promised_on=None)]
    plan()
    return found


@pytest.fixture
def owner(client: Client, hulls: list[Hull]) -> Client:
    client.force_login(the_shop_owner())
    return client


def plan(days: int = 0) -> None:
    """Make and keep a plan."""
    keep(plan_of(around(), now=timezone.now() + timedelta(days=days), seconds=0))


def read(token: str) -> Answer:
    """What a calendar program reads, without a log-in."""
    return Client().get(reverse("feed", kwargs={"token": token}))


def events(answer: Answer) -> dict[str, Any]:
    """The events by what stays the same of them."""
    return {str(event["uid"]): event for event in Calendar.from_ical(answer.content).walk("VEVENT")}


def boss() -> CrewMember:
    return the_shop_owner()


def test_an_address_is_made_shown_once_and_opens_without_a_log_in(owner: Client) -> None:
    made = owner.post(reverse("feeds"), {"of": "shop"})
    address = ADDRESS.search(made.content.decode())
    assert address is not None
    answer = Client().get(address[1])
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer["Referrer-Policy"] == "no-referrer"
    assert "vary" not in {name.lower() for name in answer.cookies}
    assert {uid.split("/")[0] for uid in events(answer)} == {"H-1", "H-2"}
    assert ADDRESS.search(owner.get(reverse("feeds")).content.decode()) is None


def test_a_boat_s_calendar_holds_that_boat_and_its_days(hulls: list[Hull]) -> None:
    found = events(read(make_feed(by=boss(), hull_id=hulls[0].pk)))
    assert {uid.split("/")[0] for uid in found} == {"H-1"}
    assert str(found["H-1/likely@127.0.0.1"]["summary"]) == "H-1 Tern likely done"
    assert found["H-1/promised@127.0.0.1"]["dtstart"].dt == hulls[0].promised_on
    other = events(read(make_feed(by=boss(), hull_id=hulls[1].pk)))
    assert "H-2/promised@127.0.0.1" not in other


def test_a_boat_without_a_date_has_no_likely_day_in_any_calendar(hulls: list[Hull]) -> None:
    token = make_feed(by=boss(), hull_id=hulls[0].pk)
    Station.objects.filter(kind="canvas").delete()
    Pulse.bump(setup=True)
    plan(days=1)
    found = events(read(token))
    assert "H-1/likely@127.0.0.1" not in found
    assert "H-1/promised@127.0.0.1" in found


def test_a_person_s_calendar_holds_their_sittings_and_no_other(hulls: list[Hull]) -> None:
    everybody = events(read(make_feed(by=boss())))
    ines = events(read(make_feed(by=boss(), person_id=a_crew_member("ines").pk)))
    own = events(read(make_feed(by=boss(), person_id=boss().pk)))
    sittings = {uid for uid, event in everybody.items() if "description" in event and "/likely" not in uid}
    assert set(ines) | set(own) == sittings
    assert not set(ines) & set(own)
    assert {str(event["description"]) for event in ines.values()} == {"ines"}


def test_what_moves_keeps_its_number(hulls: list[Hull]) -> None:
    token = make_feed(by=boss())
    before = events(read(token))
    plan(days=3)
    after = events(read(token))
    assert set(before) == set(after)
    sitting = "H-1/survey/1@127.0.0.1"
    assert after[sitting]["dtstart"].dt > before[sitting]["dtstart"].dt
    assert after[sitting]["dtstamp"].dt > before[sitting]["dtstamp"].dt


def test_the_same_plan_is_not_sent_twice(hulls: list[Hull]) -> None:
    token = make_feed(by=boss())
    first = read(token)
    address = reverse("feed", kwargs={"token": token})
    again = Client().get(address, headers={"If-None-Match": first["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    plan(days=1)
    assert Client().get(address, headers={"If-None-Match": first["ETag"]}).status_code == 200


def test_a_withdrawn_or_wrong_address_opens_nothing_and_so_does_that_of_who_left(owner: Client) -> None:
    token = make_feed(by=boss())
    row = Feed.objects.get()
    for _ in range(2):
        assert owner.post(reverse("withdraw_feed", args=[row.pk])).status_code == 302
    assert read(token).status_code == read("nothing").status_code == 404
    ines = a_crew_member("ines")
    hers = make_feed(by=boss(), person_id=ines.pk)
    assert read(hers).status_code == 200
    CrewMember.objects.filter(pk=ines.pk).update(is_active=False)
    assert read(hers).status_code == 404


def test_what_somebody_made_and_knows_closes_when_they_leave_and_is_offered_no_more(owner: Client) -> None:
    ines = a_crew_member("ines")
    shops, boats = make_feed(by=ines), make_feed(by=ines, hull_id=Hull.objects.get(tag="H-1").pk)
    assert (read(shops).status_code, read(boats).status_code) == (200, 200)
    CrewMember.objects.filter(pk=ines.pk).update(is_active=False)
    assert (read(shops).status_code, read(boats).status_code) == (404, 404)
    assert "None is open." in owner.get(reverse("feeds")).content.decode()


def test_a_boat_s_calendar_closes_with_its_owner_s_link_and_one_that_is_made_later_opens(hulls: list[Hull]) -> None:
    boat, other, shops = (
        make_feed(by=boss(), hull_id=hulls[0].pk),
        make_feed(by=boss(), hull_id=hulls[1].pk),
        make_feed(by=boss()),
    )
    once = hand(boss())
    renew_link(hull_id=hulls[0].pk, hand=hand(boss()))
    assert read(boat).status_code == 200
    withdraw_link(hull_id=hulls[0].pk, hand=once)
    assert [read(token).status_code for token in (boat, other, shops)] == [404, 200, 200]
    later = make_feed(by=boss(), hull_id=hulls[0].pk)
    withdraw_link(hull_id=hulls[0].pk, hand=once)  # the same withdrawal, sent again
    assert read(later).status_code == 200


def test_another_address_of_the_same_calendar_closes_the_one_before(hulls: list[Hull]) -> None:
    first, second = make_feed(by=boss()), make_feed(by=boss())
    assert (read(first).status_code, read(second).status_code) == (404, 200)


def test_a_hand_makes_its_own_and_the_boats_and_withdraws_what_it_made(hulls: list[Hull]) -> None:
    client, ines = Client(), a_crew_member("ines")
    client.force_login(ines)
    assert client.post(reverse("feeds"), {"of": "shop"}).status_code == 422
    assert client.post(reverse("feeds"), {"of": f"p{boss().pk}"}).status_code == 422
    assert client.post(reverse("feeds"), {"of": f"p{ines.pk}"}).status_code == 200
    assert client.post(reverse("feeds"), {"of": f"h{hulls[0].pk}"}).status_code == 200
    make_feed(by=boss())
    shops = Feed.objects.get(hull=None, person=None)
    assert client.post(reverse("withdraw_feed", args=[shops.pk])).status_code == 403
    assert client.post(reverse("withdraw_feed", args=[999])).status_code == 404
    mine = Feed.objects.get(person=ines)
    assert client.post(reverse("withdraw_feed", args=[mine.pk])).status_code == 302


def test_before_the_first_plan_a_calendar_is_empty() -> None:
    a_shop()
    answer = read(make_feed(by=boss()))
    assert events(answer) == {}
    assert str(Calendar.from_ical(answer.content)["x-wr-calname"]) == Shop.the_one().name


def test_a_feed_is_only_read(hulls: list[Hull]) -> None:
    assert Client().post(reverse("feed", kwargs={"token": make_feed(by=boss())})).status_code == 405
