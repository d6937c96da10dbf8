"""The page of enquiries: read by the crew, decided by the shop's owner."""

from typing import Any

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from hulls.models import Enquiry, EnquiryState, Hull
from shop.models import Role
from stages.services.enquiries import close_enquiry
from tests.answers import Answer
from tests.factories import a_crew_member, a_shop, the_shop_owner
from tests.settings_pages import filled_form
from tests.stages.enquiring import an_enquiry

pytestmark = pytest.mark.django_db

HTMX = {"HX-Request": "true"}


@pytest.fixture
def owner(client: Client) -> Client:
    a_shop()
    client.force_login(the_shop_owner())
    return client


def taken_in(owner: Client, enquiry: Enquiry, **changes: Any) -> Answer:
    """The hull's form as it comes up for an enquiry, sent as it is but for some changes."""
    address = f"/enquiries/{enquiry.pk}/hull/"
    form = owner.get(address).context["form"]
    return owner.post(address, filled_form(form) | changes)


# --- The page


def test_it_shows_who_wrote_what_about_which_boat(owner: Client) -> None:
    an_enquiry(name="Zoë <b>山田</b>", words="First line.\n\nSecond & last.")
    page = owner.get("/enquiries/").content.decode()
    for part in ("Zoë &lt;b&gt;山田&lt;/b&gt;", "ada@example.org", "<p>First line.</p>", "Second &amp; last.", "16 ft"):
        assert part in page
    assert "To decide: 1" in page


def test_those_that_were_decided_stand_apart_with_the_reason_and_who_decided(owner: Client) -> None:
    close_enquiry(enquiry=an_enquiry(name="Ada Reed").pk, reason="too far away", by=the_shop_owner())
    an_enquiry(name="Ben Marsh")
    waiting, done = (owner.get(f"/enquiries/{query}").content.decode() for query in ("", "?done=1"))
    assert "Ben Marsh" in waiting
    assert "Ada Reed" not in waiting
    assert "too far away" in done
    assert "boss" in done
    assert "To decide: 1" in done


def test_an_empty_page_says_so(owner: Client) -> None:
    assert "Nobody waits for an answer." in owner.get("/enquiries/").content.decode()
    assert "None was decided yet." in owner.get("/enquiries/?done=1").content.decode()


def test_the_crew_reads_and_does_not_decide(client: Client) -> None:
    a_shop()
    enquiry = an_enquiry()
    client.force_login(a_crew_member())
    page = client.get("/enquiries/").content.decode()
    assert enquiry.words in page
    assert f"/enquiries/{enquiry.pk}/" not in page
    for path in ("close", "hull"):
        assert client.post(f"/enquiries/{enquiry.pk}/{path}/", {"reason": "no"}).status_code == 403
    enquiry.refresh_from_db()
    assert enquiry.is_open


@pytest.mark.parametrize("role", [Role.CREW, Role.OWNER])
def test_whoever_works_there_is_led_to_it(client: Client, role: Role) -> None:
    a_shop()
    client.force_login(a_crew_member("one", role))
    assert 'href="/enquiries/"' in client.get("/").content.decode()


def test_a_screen_on_the_wall_is_not(client: Client) -> None:
    a_shop()
    client.force_login(a_crew_member("wall", Role.LOOK))
    assert 'href="/enquiries/"' not in client.get("/").content.decode()


@pytest.mark.parametrize("path", ["/enquiries/", "/enquiries/{pk}/close/"])
def test_it_rejects_a_wrong_method(owner: Client, path: str) -> None:
    answer = getattr(owner, "post" if path == "/enquiries/" else "get")(path.format(pk=an_enquiry().pk))
    assert answer.status_code == 405


@pytest.mark.parametrize("path", ["close", "hull"])
def test_an_unknown_one_is_not_found(owner: Client, path: str) -> None:
    assert owner.post(f"/enquiries/99999/{path}/", {"reason": "no"}).status_code == 404


@pytest.mark.parametrize("many", [1, 12])
def test_its_queries_do_not_grow_with_the_letters(
    owner: Client, many: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(many):
        an_enquiry(address=f"198.51.100.{number}")
    owner.get("/enquiries/")
    with django_assert_num_queries(QUERIES):
        owner.get("/enquiries/")


QUERIES = 5  # the session, the pulse, who it is, how many, and the rows


# --- Closed


def test_it_is_closed_with_a_reason_and_again_without_harm(owner: Client) -> None:
    enquiry = an_enquiry()
    for reason in ("too far away", "another word"):
        answer = owner.post(f"/enquiries/{enquiry.pk}/close/", {"reason": reason})
        assert answer.status_code == 302
    enquiry.refresh_from_db()
    assert (enquiry.state, enquiry.reason) == (EnquiryState.CLOSED, "too far away")


@pytest.mark.parametrize(("reason", "says"), [("", "Write the reason"), ("r" * 401, "most 400"), ("a\u202eb", "shown")])
def test_a_reason_that_cannot_be_is_refused_and_kept(owner: Client, reason: str, says: str) -> None:
    enquiry = an_enquiry()
    answer = owner.post(f"/enquiries/{enquiry.pk}/close/", {"reason": reason})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert says in page
    assert not reason or reason in page
    enquiry.refresh_from_db()
    assert enquiry.is_open


def test_one_that_became_a_hull_is_not_closed(owner: Client) -> None:
    enquiry = an_enquiry()
    taken_in(owner, enquiry)
    answer = owner.post(f"/enquiries/{enquiry.pk}/close/", {"reason": "no"})
    assert answer.status_code == 422
    enquiry.refresh_from_db()
    assert enquiry.state == EnquiryState.HULL


# --- Become a hull


def test_the_form_of_the_hull_begins_with_what_the_enquiry_says(owner: Client) -> None:
    enquiry = an_enquiry(
        name="Zoë Ågren",
        words="Keel is loose.",
        query="length=16+ft&beam=34+1%2F2+in&depth=12.5+in&ends=24+in&type=river&outside=oil&units=us",
    )
    page = owner.get(f"/enquiries/{enquiry.pk}/hull/").content.decode()
    for part in ('value="4.88 m"', 'value="87.6 cm"', 'value="Zoë Ågren"', "Keel is loose.", "Length over all: 16 ft"):
        assert part in page
    assert '<option value="oil" selected>' in page
    assert '<option value="river" selected>' in page
    assert 'href="/enquiries/"' in page


def test_it_becomes_a_hull_that_it_is_linked_to(owner: Client) -> None:
    enquiry = an_enquiry()
    answer = taken_in(owner, enquiry, tag="H-7")
    assert answer["Location"] == "/hulls/H-7/"
    enquiry.refresh_from_db()
    assert enquiry.hull is not None
    assert (enquiry.hull.tag, enquiry.hull.owner.email) == ("H-7", "ada@example.org")
    assert enquiry.hull.length_m == pytest.approx(16 * 0.3048, abs=0.005)
    assert 'href="/hulls/H-7/"' in owner.get("/enquiries/?done=1").content.decode()


def test_sent_twice_or_opened_again_it_leads_to_the_same_hull(owner: Client) -> None:
    enquiry = an_enquiry()
    form = filled_form(owner.get(f"/enquiries/{enquiry.pk}/hull/").context["form"])
    answers = [owner.post(f"/enquiries/{enquiry.pk}/hull/", form) for _ in range(2)]
    answers.append(owner.get(f"/enquiries/{enquiry.pk}/hull/"))
    assert len({answer["Location"] for answer in answers}) == 1
    assert Hull.objects.count() == 1


def test_what_cannot_be_is_refused_and_the_enquiry_stays(owner: Client) -> None:
    enquiry = an_enquiry()
    answer = taken_in(owner, enquiry, beam_m="5 m")
    assert answer.status_code == 422
    assert 'value="5 m"' in answer.content.decode()
    enquiry.refresh_from_db()
    assert enquiry.is_open
    assert not Hull.objects.exists()


def test_a_closed_one_leads_back_and_says_why(owner: Client) -> None:
    enquiry = an_enquiry()
    close_enquiry(enquiry=enquiry.pk, reason="too far away", by=the_shop_owner())
    answer = owner.get(f"/enquiries/{enquiry.pk}/hull/", follow=True)
    assert "was closed" in answer.content.decode()


def test_inputs_that_the_page_no_longer_knows_leave_the_form_empty(owner: Client) -> None:
    enquiry = an_enquiry(query="length=16+ft&type=no-such-type")
    answer = owner.get(f"/enquiries/{enquiry.pk}/hull/")
    assert answer.status_code == 200
    assert enquiry.name in answer.content.decode()
