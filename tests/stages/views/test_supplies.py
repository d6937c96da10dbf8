"""The supplies page: open to everybody, by its address alone, with a PDF and a letter to the shop."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from html import unescape
from io import BytesIO
from urllib.parse import parse_qsl, urlsplit

import pytest
import time_machine
from django.test import Client
from pypdf import PdfReader
from pytest_django import DjangoAssertNumQueries

from hulls.models import Enquiry
from shop.models import Pack, Shop
from shop.page_token import LEAST_AGE_S, MOST_AGE_S
from stages.services.enquiries import FROM_ONE, FROM_ONE_IN
from tests.answers import Answer
from tests.factories import a_shop

pytestmark = pytest.mark.django_db

BOAT = {"length": "16 ft", "beam": "34 1/2 in", "depth": "12.5 in", "ends": "24 in", "units": "us"}
SAID = {"name": "Ada Reed", "email": "ada@example.org", "words": "What would the canvas cost?", "website": ""}
MORNING = datetime(2031, 5, 5, 8, 0, tzinfo=UTC)
HTMX = {"HX-Request": "true"}


@pytest.fixture(autouse=True)
def clock() -> Iterator[time_machine.Traveller]:
    with time_machine.travel(MORNING, tick=False) as traveller:
        yield traveller


@pytest.fixture(autouse=True)
def shop() -> Shop:
    return a_shop()


def asked(client: Client, path: str = "/supplies/", **said: str) -> Answer:
    """The page of a boat, by the short form of its address."""
    return client.get(path, BOAT | said, follow=True)


def text(answer: Answer) -> str:
    page = answer.content.decode().split("<main")[1]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def token_of(answer: Answer) -> str:
    found = re.search(r'name="token" value="([^"]+)"', answer.content.decode())
    assert found
    return found[1]


def write(client: Client, clock: time_machine.Traveller, wait_s: float = 60.0, /, **said: str) -> Answer:
    """Open the page, take some time over it, and send the letter."""
    token = token_of(asked(client))
    clock.shift(timedelta(seconds=wait_s))
    return send(client, token=token, **said)


def send(client: Client, **said: str) -> Answer:
    return client.post("/supplies/enquiry/?" + query_of(asked(client)), SAID | said)


def query_of(answer: Answer) -> str:
    """The short form of the address that an answer stands at."""
    query: str = answer.wsgi_request.META["QUERY_STRING"]
    return query


# --- The page


def test_a_first_look_names_the_measures_and_asks_for_them(client: Client) -> None:
    answer = client.get("/supplies/")
    assert answer.status_code == 200
    page = answer.content.decode()
    assert [name for name in ("length", "beam", "depth", "ends") if f">{name}</text>" not in page] == []
    assert 'name="robots"' not in page
    assert 'action="/supplies/enquiry/"' not in page


def test_a_boat_gets_its_drawing_order_waits_tools_and_cautions(client: Client) -> None:
    said = text(asked(client, ribs="4"))
    for part in (
        "16 ft",
        "34 1/2 in",
        "Ribs × 4",
        "Stretch and tack the canvas",
        "Latex canvas filler · 3 coats",
        "steady air of 68 °F and 50 % humidity",
        "5 days without rain outdoors",
        "Canvas pliers",
        "Older paint, varnish and canvas filler may contain lead.",
        "General information only. Local codes, the SDS and licensed professionals govern.",
    ):
        assert part in said


def test_each_amount_has_its_packs_and_the_sizes_that_it_came_from(client: Client) -> None:
    said = text(asked(client))
    assert "Cotton duck, No. 10 18 ft 1 3/8 in The blank, in one piece 6 × 60 in wide, by the metre From: Sheer" in said
    filler = said.split("Latex canvas filler")[1]
    assert re.match(
        r" [\d.]+ (?:gal|qt) To fill the weave \d × 1 US gal pail From: Canvas on the hull [\d.]+ ft²", filler
    )
    assert "Canvas on the hull 58.4 ft² × 3 coats" in said


def test_prices_are_shown_where_the_shop_wants_it_and_as_far_as_they_are_known(client: Client, shop: Shop) -> None:
    Pack.objects.filter(product__kind="latex_filler").update(price="31.50")
    assert shop.currency not in text(asked(client))
    shop.supplies_prices = True
    shop.save()
    said = text(asked(client))
    count = int(re.search(r"(\d) × 1 US gal pail", said)[1])  # type: ignore[index]
    total = f"{count * Decimal('31.50'):.2f}"
    assert f"× 1 US gal pail · {shop.currency}\xa0{total}" in client.get("/supplies/", BOAT).content.decode()
    assert f"Together, as far as they are priced here: {shop.currency} {total}" in said


def test_the_waits_are_those_of_the_boat_s_own_air(client: Client) -> None:
    """The enamel's label says 16 h to recoat at 23 °C, with q10 2: 32 h at 13 °C, and it stands still under 7 °C."""
    assert "16 h to the next coat" in text(asked(client, air="23 C"))
    assert "32 h to the next coat" in text(asked(client, air="13 C"))
    cold, just = (text(asked(client, units="metric", air=air)) for air in ("6.9 C", "7 C"))
    assert "Enamel One-part polyurethane enamel, gloss · 3 coats Not in your air: under 7.0 °C it stands still." in cold
    assert "under 7.0 °C" not in just


def test_a_long_address_leads_to_the_short_one_which_stays(client: Client) -> None:
    long = BOAT | {"outside": "latex", "ribs": "", "seats": "0", "air": "", "utm_source": "letter"}
    answer = client.get("/supplies/", long)
    assert answer.status_code == 302
    assert dict(parse_qsl(urlsplit(answer["Location"]).query)) == BOAT
    assert client.get(answer["Location"]).status_code == 200
    as_browsers_write_it = answer["Location"].replace("+", "%20")
    assert client.get(as_browsers_write_it).status_code == 200


def test_the_page_shows_the_link_to_share_and_is_not_to_be_found_by_searching(client: Client) -> None:
    page = asked(client).content.decode()
    assert 'value="http://testserver/supplies/?length=16+ft&amp;beam=34+1%2F2+in' in page
    assert '<meta name="robots" content="noindex, nofollow">' in page


def test_a_link_that_was_altered_is_refused_by_the_field_and_the_rest_is_kept(client: Client) -> None:
    answer = asked(client, beam="5 m", ribs="x<b>", type="barge")
    assert answer.status_code == 422
    page = answer.content.decode()
    assert page.count('class="errorlist"') == 3
    for kept in ('value="16 ft"', 'value="5 m"', 'value="x&lt;b&gt;"', 'value="24 in"'):
        assert kept in page
    assert "supplies__steps" not in page


@pytest.mark.parametrize("path", ["/supplies/", "/supplies/a4.pdf", "/supplies/letter.pdf", "/supplies/sent/"])
def test_it_rejects_a_wrong_method(client: Client, path: str) -> None:
    assert client.post(path).status_code == 405


def test_nothing_to_do_says_so(client: Client) -> None:
    said = text(asked(client, outside="leave", inside="leave", brightwork="leave"))
    assert "Nothing is to be done by these answers." in said


@pytest.mark.parametrize(
    "path", ["/supplies/", "/supplies/a4.pdf", "/supplies/letter.pdf", "/supplies/sent/", "/supplies/enquiry/"]
)
def test_a_shop_that_does_not_want_it_has_no_such_page(client: Client, shop: Shop, path: str) -> None:
    shop.supplies_public = False
    shop.save()
    assert client.get(path, BOAT).status_code == (405 if path.endswith("enquiry/") else 404)
    assert client.post("/supplies/enquiry/").status_code == 404
    assert "/supplies/" not in client.get("/login/").content.decode()


def test_the_log_in_page_leads_there(client: Client) -> None:
    assert 'href="/supplies/"' in client.get("/login/").content.decode()


def test_a_shop_without_a_route_still_draws_the_boat(client: Client) -> None:
    from stages.models import Route

    Route.objects.update(current=False)
    answer = asked(client)
    assert answer.status_code == 200
    assert "34 1/2 in" in text(answer)


@pytest.mark.parametrize("counts", [{}, {"ribs": "9", "planks": "30", "seats": "2", "decks": "2", "stems": "2"}])
def test_its_queries_do_not_grow_with_the_work(
    client: Client, counts: dict[str, str], django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    asked(client, **counts)  # what is kept while the set-up stands is read now
    query = query_of(asked(client, **counts))
    with django_assert_num_queries(QUERIES):
        assert client.get("/supplies/?" + query).status_code == 200


QUERIES = 4  # the pulse, which route is current, the products and their packs


# --- The PDF


@pytest.mark.usefixtures("pango")
def test_the_pdf_has_the_list_the_cautions_and_the_link(client: Client) -> None:
    answer = asked(client, "/supplies/a4.pdf", ribs="4")
    assert answer["Content-Type"] == "application/pdf"
    pages = PdfReader(BytesIO(answer.content)).pages
    said = " ".join(" ".join(page.extract_text().split()) for page in pages)
    for part in ("The test shop", "16 ft", "Fill with latex filler", "may contain lead"):
        assert part in said
    assert "http://testserver/supplies/?length=16+ft&beam=34+1%2F2+in" in said.replace(" ", "")


@pytest.mark.usefixtures("pango")
def test_a_pdf_of_no_boat_is_the_form(client: Client) -> None:
    for query in ({}, BOAT | {"beam": "5 m"}):
        answer = client.get("/supplies/letter.pdf", query)
        assert answer.status_code == 422
        assert "<form" in answer.content.decode()


# --- The letter


def test_a_letter_is_kept_with_the_boat_and_the_shop_says_so(client: Client, clock: time_machine.Traveller) -> None:
    answer = write(client, clock)
    assert answer.status_code == 302
    assert urlsplit(answer["Location"]).path == "/supplies/sent/"
    thanks = client.get(answer["Location"])
    assert "The shop has it" in text(thanks)
    assert "/supplies/?length=16+ft" in thanks.content.decode()
    kept = Enquiry.objects.get()
    assert (kept.name, kept.email, kept.words) == ("Ada Reed", "ada@example.org", SAID["words"])
    assert dict(parse_qsl(kept.query)) == BOAT
    assert ["Length over all", "16 ft"] in kept.listed["said"]
    assert kept.listed["needs"][0]["what"] == "Cotton duck, No. 10"


def test_sent_twice_it_is_one(client: Client, clock: time_machine.Traveller) -> None:
    token = token_of(asked(client))
    clock.shift(timedelta(minutes=1))
    first, second = send(client, token=token), send(client, token=token)
    assert first["Location"] == second["Location"]
    assert Enquiry.objects.count() == 1


def test_other_words_from_a_page_that_was_sent_are_not_lost_and_may_be_sent_as_another_letter(
    client: Client, clock: time_machine.Traveller
) -> None:
    token = token_of(asked(client))
    clock.shift(timedelta(minutes=1))
    send(client, token=token)
    answer = send(client, token=token, words="And the seats, please.")
    assert answer.status_code == 422
    assert "The shop has a letter from this page already." in text(answer)
    assert "And the seats, please." in answer.content.decode()
    assert Enquiry.objects.count() == 1
    clock.shift(timedelta(minutes=1))
    assert send(client, token=token_of(answer), words="And the seats, please.").status_code == 302
    assert set(Enquiry.objects.values_list("words", flat=True)) == {SAID["words"], "And the seats, please."}


@pytest.mark.parametrize("name", ["Zoë Ågren", "山田太郎", "محمد علي", "Ὀδυσσεύς", "O’Neil-Smith", "נועה"])
def test_a_name_in_any_script_is_taken(client: Client, clock: time_machine.Traveller, name: str) -> None:
    assert write(client, clock, name=name).status_code == 302
    assert Enquiry.objects.get().name == name


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", ""),
        ("name", "Ada\nReed"),
        ("name", "Ada\r\nBcc: b@example.org"),
        ("name", "Ada\u2028Reed"),
        ("name", "Ada\tReed"),
        ("name", "A" * 81),
        ("name", "Ada\u202eReed"),
        ("email", ""),
        ("email", "ada"),
        ("email", "ada@example.org\nbcc:b@example.org"),
        ("email", "ada@example.org, b@example.org"),
        ("words", "w" * 2001),
        ("words", "a\x00b"),
        ("website", "http://example.org"),
    ],
)
def test_what_cannot_be_is_refused_beside_the_field_and_the_rest_is_kept(
    client: Client, clock: time_machine.Traveller, field: str, value: str
) -> None:
    answer = write(client, clock, **{field: value})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert page.count('class="errorlist"') == 1
    assert f'id="id_{field}_error"' in page
    kept = SAID["email"] if field != "email" else SAID["name"]
    assert f'value="{kept}"' in page
    assert "supplies__steps" in page
    assert not Enquiry.objects.exists()


@pytest.mark.parametrize("field", ["name", "words"])
def test_a_name_at_its_longest_is_taken(client: Client, clock: time_machine.Traveller, field: str) -> None:
    longest = {"name": "A" * 80, "words": "w" * 2000}
    assert write(client, clock, **{field: longest[field]}).status_code == 302


def test_quicker_than_a_person_it_is_refused_and_taken_a_little_later(
    client: Client, clock: time_machine.Traveller
) -> None:
    answer = write(client, clock, LEAST_AGE_S - 1)
    assert answer.status_code == 422
    assert "quicker than a person writes" in text(answer)
    clock.shift(timedelta(seconds=2))
    assert send(client, token=token_of(answer)).status_code == 302


@pytest.mark.parametrize("token", ["", "made:up:token"])
def test_a_false_token_is_refused_and_gives_way_to_a_good_one(
    client: Client, clock: time_machine.Traveller, token: str
) -> None:
    answer = send(client, token=token)
    assert answer.status_code == 422
    assert SAID["words"] in text(answer)
    clock.shift(timedelta(minutes=1))
    assert send(client, token=token_of(answer)).status_code == 302


def test_after_too_long_it_is_refused_and_taken_when_it_is_sent_again(
    client: Client, clock: time_machine.Traveller
) -> None:
    answer = write(client, clock, MOST_AGE_S + 1)
    assert "open for a long time" in text(answer)
    clock.shift(timedelta(seconds=LEAST_AGE_S))
    assert send(client, token=token_of(answer)).status_code == 302


def test_a_flood_is_held_off_and_says_until_when(client: Client, clock: time_machine.Traveller, shop: Shop) -> None:
    shop.phone = "555 0100"
    shop.save()
    for number in range(FROM_ONE):
        assert write(client, clock, LEAST_AGE_S, words=f"{number}").status_code == 302
    answer = write(client, clock, LEAST_AGE_S, words="one more")
    assert answer.status_code == 429
    assert 0 < int(answer["Retry-After"]) <= FROM_ONE_IN.total_seconds()
    assert "one more" in text(answer)
    assert "Or call 555 0100." in text(answer)
    assert Enquiry.objects.count() == FROM_ONE
    clock.shift(FROM_ONE_IN)
    assert write(client, clock, words="one more").status_code == 302


def test_whoever_says_to_come_from_elsewhere_is_not_believed(client: Client, clock: time_machine.Traveller) -> None:
    """Only a trusted proxy's word counts, and that is read before Django (shop.wsgi)."""
    for number in range(FROM_ONE):
        write(client, clock, LEAST_AGE_S, words=f"{number}")
    token = token_of(asked(client))
    clock.shift(timedelta(seconds=LEAST_AGE_S))
    address = "/supplies/enquiry/?" + query_of(asked(client))
    answer = client.post(address, SAID | {"token": token}, headers={"X-Forwarded-For": "198.51.100.1"})
    assert answer.status_code == 429


def test_a_letter_about_no_boat_is_refused(client: Client) -> None:
    for query in ("", "length=90+m"):
        assert client.post(f"/supplies/enquiry/?{query}", SAID).status_code == 422


def test_another_site_cannot_send_in_somebody_s_name(clock: time_machine.Traveller) -> None:
    careful = Client(enforce_csrf_checks=True)
    token = token_of(asked(careful))
    clock.shift(timedelta(minutes=1))
    assert send(careful, token=token).status_code == 403
    assert not Enquiry.objects.exists()


def test_it_answers_a_script_s_request_as_any_other(client: Client) -> None:
    assert "<html" in client.get("/supplies/", headers=HTMX).content.decode()
