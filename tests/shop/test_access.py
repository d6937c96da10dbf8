"""Who may open what: every address of the site against every role. An address without a row here fails the test."""

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver

from shop.models import CrewMember, Role
from tests.answers import Answer
from tests.factories import a_crew_member, a_hull, a_shop

pytestmark = pytest.mark.django_db

NOBODY = "nobody"  # who is not logged in
ROLES = (NOBODY, Role.LOOK, Role.CREW, Role.OWNER)
ALL = frozenset(ROLES)
LOOKERS = frozenset({Role.LOOK, Role.CREW, Role.OWNER})
CREW = frozenset({Role.CREW, Role.OWNER})
OWNER = frozenset({Role.OWNER})
NONE: frozenset[str] = frozenset()
REFUSED, WRONG_METHOD = 403, 405
BOAT = "length=16+ft&beam=34+in&depth=12+in&ends=23+in"


@dataclass(frozen=True, slots=True)
class Row:
    """An address, who may read it, and who may send to it."""

    path: str
    read: frozenset[str]
    write: frozenset[str] = NONE


TABLE = {
    "": Row("/", LOOKERS),
    "floor/part/": Row("/floor/part/", LOOKERS),
    "next/": Row("/next/", LOOKERS),
    "plan/": Row("/plan/", CREW),
    "plan/helps/": Row("/plan/helps/", CREW),
    "plan/kept/": Row("/plan/kept/", OWNER),
    "plan/when/": Row("/plan/when/", CREW),
    "waiting/pages/": Row("/waiting/pages/", CREW),
    "waiting/": Row("/waiting/", ALL),  # empty: the phone fills it in
    "waiting/who/": Row("/waiting/who/", ALL),
    "offline/": Row("/offline/", ALL),
    "app.webmanifest": Row("/app.webmanifest", ALL),
    "worker.js": Row("/worker.js", ALL),
    "air/": Row("/air/", LOOKERS, CREW),
    "air/weather/": Row("/air/weather/", NONE, CREW),
    "air/<int:pk>/": Row("/air/1/", LOOKERS),
    "products/<int:pk>/": Row("/products/1/", LOOKERS),
    "readings/import/": Row("/readings/import/", CREW, CREW),
    "sensors/": Row("/sensors/", OWNER, OWNER),
    "sensors/decide/": Row("/sensors/decide/", NONE, OWNER),
    "sensors/<int:pk>/": Row("/sensors/1/", OWNER, OWNER),
    "sensors/<int:pk>/token/": Row("/sensors/1/token/", NONE, OWNER),
    "sensors/<int:pk>/withdraw/": Row("/sensors/1/withdraw/", NONE, OWNER),
    "hours/": Row("/hours/", CREW),
    "hours/closing/": Row("/hours/closing/", NONE, OWNER),
    "hours/<int:pk>/": Row("/hours/1/", OWNER, OWNER),  # and whose hours they are
    "hours/<int:pk>/off/": Row("/hours/1/off/", NONE, OWNER),  # the same
    "hours/off/<int:pk>/remove/": Row("/hours/off/1/remove/", NONE, CREW),
    "hours/holidays/<str:day>/": Row("/hours/holidays/2026-12-25/", NONE, OWNER),
    "calendars/": Row("/calendars/", CREW, CREW),
    "calendars/<int:pk>/withdraw/": Row("/calendars/1/withdraw/", NONE, CREW),
    "calendars/<str:token>.ics": Row("/calendars/x.ics", ALL),
    "api/readings": Row("/api/readings", NONE, ALL),  # by the sensor's own token; no log-in opens it
    "api/readings/add": Row("/api/readings/add", ALL),  # the same, in the address
    "api/openapi.json": Row("/api/openapi.json", ALL),
    "stores/": Row("/stores/", LOOKERS),
    "stores/take-in/": Row("/stores/take-in/", NONE, CREW),
    "stores/buy/": Row("/stores/buy/", CREW),
    "stores/buy/order/": Row("/stores/buy/order/", NONE, CREW),
    "stores/orders/<int:pk>/<slug:action>/": Row("/stores/orders/1/receive/", NONE, CREW),
    "stores/lots/<int:pk>/": Row("/stores/lots/1/", LOOKERS),
    "stores/lots/<int:pk>/<slug:action>/": Row("/stores/lots/1/count/", NONE, CREW),
    "rules/": Row("/rules/", LOOKERS),
    "hulls/": Row("/hulls/", LOOKERS),
    "hulls/new/": Row("/hulls/new/", CREW, CREW),
    "hulls/import/": Row("/hulls/import/", OWNER, OWNER),
    "hulls/<tag:tag>/": Row("/hulls/H-1/", LOOKERS),
    "hulls/<tag:tag>/part/": Row("/hulls/H-1/part/", LOOKERS),
    "hulls/<tag:tag>/coats/<int:line>/": Row("/hulls/H-1/coats/1/", LOOKERS),
    "hulls/<tag:tag>/photos/": Row("/hulls/H-1/photos/", LOOKERS),
    "hulls/<tag:tag>/photos/time-lapse/": Row("/hulls/H-1/photos/time-lapse/", LOOKERS),
    "hulls/<tag:tag>/photos/<int:pk>/": Row("/hulls/H-1/photos/1/", LOOKERS),
    "hulls/<tag:tag>/photos/<int:pk>/change/": Row("/hulls/H-1/photos/1/change/", NONE, CREW),
    "hulls/<tag:tag>/supplies/": Row("/hulls/H-1/supplies/", CREW),
    "hulls/<tag:tag>/lines/": Row("/hulls/H-1/lines/", LOOKERS, CREW),
    "hulls/<tag:tag>/lines/body-plan.svg": Row("/hulls/H-1/lines/body-plan.svg", LOOKERS),
    "hulls/<tag:tag>/finish-record/": Row("/hulls/H-1/finish-record/", CREW),
    "hulls/<tag:tag>/finish-record/pdf/": Row("/hulls/H-1/finish-record/pdf/", CREW),
    "hulls/<tag:tag>/hand-over/": Row("/hulls/H-1/hand-over/", CREW, CREW),
    "hulls/<tag:tag>/hand-over/photo/": Row("/hulls/H-1/hand-over/photo/", NONE, CREW),
    "hulls/<tag:tag>/hand-over/payment/": Row("/hulls/H-1/hand-over/payment/", NONE, OWNER),
    "hulls/<tag:tag>/change/": Row("/hulls/H-1/change/", CREW, CREW),
    "hulls/<tag:tag>/do/<slug:action>/": Row("/hulls/H-1/do/note/", NONE, CREW),
    "estimates/": Row("/estimates/", CREW),
    "hulls/<tag:tag>/estimate/": Row("/hulls/H-1/estimate/", CREW, CREW),
    "hulls/<tag:tag>/estimate/send/": Row("/hulls/H-1/estimate/send/", NONE, CREW),
    "hulls/<tag:tag>/estimates/<int:pk>/": Row("/hulls/H-1/estimates/1/", CREW, OWNER),
    "hulls/<tag:tag>/estimates/<int:pk>/pdf/": Row("/hulls/H-1/estimates/1/pdf/", CREW),
    "hulls/<tag:tag>/estimates/<int:pk>/withdraw/": Row("/hulls/H-1/estimates/1/withdraw/", NONE, OWNER),
    "hulls/<tag:tag>/change-order/": Row("/hulls/H-1/change-order/", CREW, CREW),
    "books/": Row("/books/", OWNER),
    "books/<slug:which>.csv": Row("/books/payments.csv", OWNER),
    "hulls/<tag:tag>/bill/": Row("/hulls/H-1/bill/", OWNER),
    "hulls/<tag:tag>/bill/payment/": Row("/hulls/H-1/bill/payment/", NONE, OWNER),
    "hulls/<tag:tag>/bill/payments/<int:pk>/strike/": Row("/hulls/H-1/bill/payments/1/strike/", OWNER, OWNER),
    "hulls/<tag:tag>/bill/invoice/": Row("/hulls/H-1/bill/invoice/", OWNER, OWNER),
    "hulls/<tag:tag>/bill/invoices/<int:pk>/": Row("/hulls/H-1/bill/invoices/1/", OWNER, OWNER),
    "hulls/<tag:tag>/bill/invoices/<int:pk>/pdf/": Row("/hulls/H-1/bill/invoices/1/pdf/", OWNER),
    "tags/": Row("/tags/", CREW),
    "tags/print/": Row("/tags/print/", CREW),
    "tags/pdf/": Row("/tags/pdf/", CREW),
    "t/h<int:pk>/": Row("/t/h1/", LOOKERS),
    "t/c<int:pk>/": Row("/t/c1/", LOOKERS),
    "photos/<int:pk>/<slug:size>/": Row("/photos/1/small/", LOOKERS),
    "me/": Row("/me/", LOOKERS),
    "me/password/": Row("/me/password/", NONE, CREW),
    "me/log-out-others/": Row("/me/log-out-others/", NONE, CREW),
    "login/": Row("/login/", ALL, ALL),
    "logout/": Row("/logout/", NONE, ALL),
    "p/<str:token>/": Row("/p/x/", ALL),
    "p/<str:token>": Row("/p/x", ALL),
    "p/<str:token>/photo/<int:pk>/<slug:size>/": Row("/p/x/photo/1/small/", ALL),
    "p/<str:token>/time-lapse/": Row("/p/x/time-lapse/", ALL),
    "p/<str:token>/answer/": Row("/p/x/answer/", NONE, ALL),
    "p/<str:token>/agreement/<int:pk>/": Row("/p/x/agreement/1/", ALL),
    "p/<str:token>/ask/": Row("/p/x/ask/", NONE, ALL),
    "p/<str:token>/collect/": Row("/p/x/collect/", NONE, ALL),
    "p/<str:token>/colour/": Row("/p/x/colour/", NONE, ALL),
    "p/<str:token>/language/": Row("/p/x/language/", NONE, ALL),
    "p/<str:token>/letters/": Row("/p/x/letters/", NONE, ALL),
    "stop/<str:token>/": Row("/stop/x/", ALL, ALL),
    "questions/": Row("/questions/", CREW),
    "hulls/<tag:tag>/thread/": Row("/hulls/H-1/thread/", CREW, CREW),
    "hulls/<tag:tag>/thread/set-aside/": Row("/hulls/H-1/thread/set-aside/", NONE, CREW),
    "hulls/<tag:tag>/thread/<int:pk>/strike/": Row("/hulls/H-1/thread/1/strike/", NONE, CREW),
    "hulls/<tag:tag>/colour/": Row("/hulls/H-1/colour/", NONE, CREW),
    "hulls/<tag:tag>/colour/<int:pk>/take/": Row("/hulls/H-1/colour/1/take/", NONE, CREW),
    "hulls/<tag:tag>/colour/<int:pk>/withdraw/": Row("/hulls/H-1/colour/1/withdraw/", NONE, CREW),
    "letters/": Row("/letters/", CREW),
    "letters/<int:pk>/": Row("/letters/1/", CREW),
    "letters/<int:pk>/mail/": Row("/letters/1/mail/", CREW),
    "letters/<int:pk>/take-out/": Row("/letters/1/take-out/", NONE, CREW),
    "letters/<int:pk>/again/": Row("/letters/1/again/", NONE, CREW),
    "p/<str:token>/invoice/<int:pk>/": Row("/p/x/invoice/1/", ALL),
    "p/<str:token>/finish-record/": Row("/p/x/finish-record/", ALL),
    "p/<str:token>/finish-record/paper/": Row("/p/x/finish-record/paper/", ALL),
    "p/<str:token>/finish-record/pdf/": Row("/p/x/finish-record/pdf/", ALL),
    "^p(?:/|$)": Row("/p/x/y/", ALL),
    "supplies/": Row(f"/supplies/?{BOAT}", ALL),
    "supplies/a4.pdf": Row("/supplies/a4.pdf", ALL),
    "supplies/letter.pdf": Row("/supplies/letter.pdf", ALL),
    "supplies/enquiry/": Row(f"/supplies/enquiry/?{BOAT}", NONE, ALL),
    "supplies/language/": Row("/supplies/language/", NONE, ALL),
    "supplies/sent/": Row("/supplies/sent/", ALL),
    "enquiries/": Row("/enquiries/", CREW),
    "enquiries/<int:pk>/close/": Row("/enquiries/1/close/", NONE, OWNER),
    "enquiries/<int:pk>/hull/": Row("/enquiries/1/hull/", OWNER, OWNER),
    "healthz": Row("/healthz", ALL),
}


def routes(resolver: URLResolver, above: str = "") -> Iterator[str]:
    """Every address below a resolver, as its pattern is written; the settings pages have a test of their own."""
    for found in resolver.url_patterns:
        route = above + str(found.pattern)
        if isinstance(found, URLPattern):
            yield route
        elif route != "admin/":
            yield from routes(found, route)


def settings_pages() -> Iterator[str]:
    """The address of every settings page, of the first row of its table where it is about one."""
    admin = next(found for found in get_resolver().url_patterns if str(found.pattern) == "admin/")
    assert isinstance(admin, URLResolver)
    for route in sorted({*routes(admin, "")}):
        if "(" not in route and "<path:content_type_id>" not in route:
            yield "/admin/" + route.replace("<path:object_id>", "1").replace("<id>", "1")


def as_role(role: str) -> Client:
    client = Client(raise_request_exception=True)
    if role != NOBODY:
        client.force_login(a_crew_member(f"one {role}", Role(role)))
    return client


def asks_for_log_in(response: Answer) -> bool:
    return bool(response.redirect_chain) and response.redirect_chain[-1][0].startswith("/login/?next=")


def check(response: Answer, role: str, may: frozenset[str]) -> None:
    """Assert that an answer is that of the row: let in, led to the log-in, refused, or no such method at all."""
    said = f"{role}: {response.status_code}"
    if not may:
        assert response.status_code == WRONG_METHOD, said
    elif role in may:
        assert response.status_code not in (REFUSED, WRONG_METHOD), said
        assert not asks_for_log_in(response), said
    elif role == NOBODY:
        assert asks_for_log_in(response), said
    else:
        assert response.status_code == REFUSED, said


def test_every_address_has_a_row_and_every_row_an_address() -> None:
    assert set(routes(get_resolver())) == set(TABLE)


@pytest.mark.parametrize("route", TABLE)
def test_whoever_may_read_reads_and_everybody_else_is_refused(route: str) -> None:
    a_shop()
    a_hull("H-1")
    for role in ROLES:
        check(as_role(role).get(TABLE[route].path, follow=True), role, TABLE[route].read)


@pytest.mark.parametrize("route", TABLE)
def test_whoever_may_write_writes_and_everybody_else_is_refused(route: str) -> None:
    a_shop()
    a_hull("H-1")
    for role in ROLES:
        check(as_role(role).post(TABLE[route].path, follow=True), role, TABLE[route].write)


def test_a_screen_on_the_wall_writes_nothing_but_its_log_in_and_log_out_and_what_no_log_in_opens() -> None:
    writes = {route for route, row in TABLE.items() if Role.LOOK in row.write}
    behind_the_link = {
        f"p/<str:token>/{what}/" for what in ("answer", "ask", "collect", "colour", "language", "letters")
    }
    by_secret = {"api/readings", "stop/<str:token>/", *behind_the_link}
    assert writes == {"login/", "logout/", "supplies/enquiry/", "supplies/language/", *by_secret}


@pytest.mark.parametrize("role", [Role.LOOK, Role.CREW])
@pytest.mark.parametrize("method", ["get", "post"])
def test_the_settings_pages_are_closed_to_everybody_but_the_shop_s_owner(role: Role, method: str) -> None:
    client = as_role(role)
    pages = [path for path in settings_pages() if path != "/admin/logout/"]
    assert len(pages) > 60
    for path in pages:
        response = getattr(client, method)(path, follow=True)
        assert response.status_code == REFUSED, path


def test_the_settings_pages_ask_whoever_is_not_logged_in_for_the_log_in() -> None:
    client = Client()
    for path in settings_pages():
        response = client.get(path, follow=True)
        assert response.redirect_chain[-1][0].startswith("/login/?next=/admin/"), path


def test_the_settings_pages_open_for_the_shop_s_owner() -> None:
    assert as_role(Role.OWNER).get("/admin/").status_code == 200


@pytest.mark.parametrize("role", [Role.LOOK, Role.CREW])
def test_only_the_shop_s_owner_is_led_to_the_settings(role: Role) -> None:
    a_shop()
    assert 'href="/admin/"' not in as_role(role).get("/").content.decode()
    assert 'href="/admin/"' in as_role(Role.OWNER).get("/").content.decode()


def test_the_last_log_in_of_somebody_who_left_opens_nothing() -> None:
    client = as_role(Role.CREW)
    CrewMember.objects.update(is_active=False)
    assert asks_for_log_in(client.get("/rules/", follow=True))
