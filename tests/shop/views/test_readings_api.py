"""The sensors' way in, each answer checked against the OpenAPI document that describes it."""

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import time_machine
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase
from jsonschema import Draft202012Validator
from openapi_spec_validator import OpenAPIV31SpecValidator

from shop.models import RainFall, Reading, Sensor, WeatherDay, Zone
from shop.readings.openapi import document
from shop.readings.pace import BURST
from shop.readings.payload import MOST_BYTES, MOST_ITEMS
from shop.services.sensors import add_sensor, renew_token, withdraw

NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)
POST, GET = "/api/readings", "/api/readings/add"
SOUND = {"at": "2026-06-01T11:00:00Z", "temp_c": 16.2, "rh_pct": 71}
DOCUMENT = document("https://shop.example.org")


@pytest.fixture(autouse=True)
def clock() -> Iterator[time_machine.Traveller]:
    with time_machine.travel(NOW, tick=False) as traveller:
        yield traveller


def a_sensor(name: str = "Loft 1", *, outdoors: bool = False) -> tuple[Sensor, str]:
    zone, _ = Zone.objects.get_or_create(name="Yard" if outdoors else "Loft", outdoors=outdoors)
    sensor, token = add_sensor(name=name, zone=zone, every_min=5, sends=True, by=None)
    assert token is not None
    return sensor, token


@pytest.fixture
def token(db: None) -> str:
    return a_sensor()[1]


def checked(response: Any, path: str, method: str) -> Any:
    """Check an answer against the document, and read it."""
    described = DOCUMENT["paths"][path][method]["responses"][str(response.status_code)]
    schema = {**described["content"]["application/json"]["schema"], "components": DOCUMENT["components"]}
    body = json.loads(response.content)
    Draft202012Validator(schema).validate(body)
    assert response["Content-Type"] == "application/json"
    assert "no-store" in response["Cache-Control"]
    return body


def post(token: str, what: object, status: int = 200) -> Any:
    body = what if isinstance(what, bytes) else json.dumps(what).encode()
    headers = {"Authorization": f"Bearer {token}"} if token else {}
    client = Client(enforce_csrf_checks=True)
    response = client.post(POST, body, content_type="application/json", headers=headers)
    assert response.status_code == status, response.content
    return checked(response, POST, "post")


def get(token: str, status: int = 200, **query: str) -> Any:
    response = Client().get(GET, {"token": token, **query})
    assert response.status_code == status, response.content
    return checked(response, GET, "get")


# --- The document


def test_the_document_is_a_valid_openapi_3_1_one() -> None:
    # The OpenAPI Initiative's own schema for 3.1, by openapi-spec-validator.
    OpenAPIV31SpecValidator(DOCUMENT).validate()


def test_a_document_that_is_not_valid_would_be_seen() -> None:
    broken = {**DOCUMENT, "paths": {"/x": {"get": {"responses": {"200": {}}}}}}
    assert not OpenAPIV31SpecValidator(broken).is_valid()


def test_the_document_is_served_to_anybody(client: Client, settings: Any, db: None) -> None:
    settings.PUBLIC_URL = "https://shop.example.org"
    response = client.get("/api/openapi.json")
    assert response.status_code == 200
    assert response.json() == json.loads(json.dumps(DOCUMENT))


@pytest.mark.parametrize(
    ("item", "fits"),
    [
        (SOUND, True),
        ({"temp_f": 60, "rh_pct": 40, "at": 1780311600}, True),
        ({"rain_mm": 0.2}, True),
        ({"temp_c": 60, "rh_pct": 40}, False),
        ({"temp_c": 20}, False),
        ({"temp_c": 20, "rh_pct": 101}, False),
        ({}, False),
    ],
)
def test_the_document_and_the_reader_agree_on_an_item(token: str, item: object, fits: bool) -> None:
    schema = {"$ref": "#/components/schemas/Reading", "components": DOCUMENT["components"]}
    assert Draft202012Validator(schema).is_valid(item) is fits
    if "rain_mm" not in dict(item):  # type: ignore[call-overload]
        post(token, item, 200 if fits else 422)


# --- Readings are taken in


def test_one_reading_is_recorded(token: str) -> None:
    assert post(token, SOUND) == {"recorded": 1, "repeated": 0, "flagged": [], "refused": []}
    reading = Reading.objects.get()
    assert (reading.at, reading.air_c, reading.rh_pct) == (NOW - timedelta(hours=1), 16.2, 71.0)
    assert (reading.zone.name, reading.by, reading.out) == ("Loft", None, False)


def test_sent_twice_is_recorded_once(token: str) -> None:
    post(token, SOUND)
    assert post(token, SOUND)["repeated"] == 1
    assert Reading.objects.count() == 1


def test_good_items_of_a_list_are_kept_and_bad_ones_reported(token: str) -> None:
    later = {**SOUND, "at": "2026-06-01T11:05:00Z"}
    body = post(token, [SOUND, {**SOUND, "rh_pct": 101}, "x", {**SOUND, "temp_c": 17}, later])
    assert body["recorded"] == 2
    assert [(one["index"], one["field"]) for one in body["refused"]] == [(1, "rh_pct"), (2, ""), (3, "")]
    assert Reading.objects.count() == 2


@pytest.mark.parametrize(
    "text",
    [
        b'{"temp_c": NaN, "rh_pct": 50}',
        b'{"temp_c": 20, "rh_pct": Infinity}',
        b'{"temp_c": 60, "rh_pct": 50}',
        b'{"temp_c": 20, "rh_pct": 50, "at": "2026-06-08T12:00:00Z"}',
        b'[{"temp_c": 20, "rh_pct": -1}]',
        b'{"temp_c": 20, "rh_pct": 50, "at": "2026-06-01T11:00:00"}',
    ],
)
def test_what_cannot_be_is_refused_with_its_reason(token: str, text: bytes) -> None:
    body = post(token, text, 422)
    assert len(body["refused"]) == 1
    assert not Reading.objects.exists()


def test_an_empty_list_is_no_mistake(token: str) -> None:
    assert post(token, [])["recorded"] == 0


def test_a_wild_reading_is_kept_out_and_said_so(token: str) -> None:
    post(token, SOUND)
    body = post(token, {"at": "2026-06-01T11:05:00Z", "temp_c": 45, "rh_pct": 50})
    assert [(one["index"], one["flag"]) for one in body["flagged"]] == [(0, "wild")]
    assert Reading.objects.get(out=True).air_c == 45.0


def test_rain_of_a_gauge_outdoors_says_whether_days_were_dry(db: None) -> None:
    _, token = a_sensor("Gauge", outdoors=True)
    rain = [
        {"at": (NOW - timedelta(hours=h)).isoformat(), "rain_mm": 0.0 if h >= 12 else 1.2} for h in range(40, 0, -1)
    ]
    assert post(token, rain)["recorded"] == 40
    assert list(WeatherDay.objects.order_by("day").values_list("dry", flat=True)) == [True, False]


def test_air_and_rain_come_in_one_item_and_are_counted_each(db: None) -> None:
    _, token = a_sensor("Gauge", outdoors=True)
    assert post(token, {**SOUND, "rain_mm": 0.2})["recorded"] == 2
    assert post(token, {**SOUND, "rain_mm": 0.3})["refused"][0]["field"] == "rain_mm"
    assert (Reading.objects.count(), RainFall.objects.get().rain_mm) == (1, 0.2)


def test_it_does_not_rain_indoors_but_the_air_is_taken(token: str) -> None:
    body = post(token, {**SOUND, "rain_mm": 0.2})
    assert (body["recorded"], body["refused"][0]["field"]) == (1, "rain_mm")
    assert post(token, {"rain_mm": 0.2}, 422)["recorded"] == 0


# --- A sensor that can only GET


def test_a_reading_in_the_address_is_recorded_in_fahrenheit_too(token: str) -> None:
    assert get(token, temp_f="61.16", rh_pct="71")["recorded"] == 1
    reading = Reading.objects.get()
    assert (reading.at, reading.air_c, reading.rh_pct) == (NOW, 16.2, 71.0)


@pytest.mark.parametrize("at", ["1780311600", "2026-06-01T11:00:00Z", "2026-06-01T13:00:00+02:00"])
def test_the_moment_may_stand_in_the_address(token: str, at: str) -> None:
    get(token, temp_c="20", rh_pct="50", at=at)
    assert get(token, temp_c="20", rh_pct="50", at=at)["repeated"] == 1
    assert Reading.objects.get().at == NOW - timedelta(hours=1)


@pytest.mark.parametrize(
    "query",
    [{}, {"temp_f": "warm", "rh_pct": "50"}, {"temp_f": "nan", "rh_pct": "50"}, {"temp_f": "140", "rh_pct": "50"}],
)
def test_a_bad_reading_in_the_address_is_refused(token: str, query: dict[str, str]) -> None:
    assert len(get(token, 422, **query)["refused"]) == 1


# --- Who may


@pytest.mark.parametrize("wrong", ["", "x", "x" * 5000, "Bearer"])
def test_a_wrong_token_is_refused_and_writes_nothing(token: str, wrong: str) -> None:
    assert post(wrong, SOUND, 401)["error"] == "unknown_token"
    assert get(wrong, 401, temp_c="20", rh_pct="50")["error"] == "unknown_token"
    assert not Reading.objects.exists()


def test_a_token_under_another_scheme_is_refused(token: str) -> None:
    response = Client().post(POST, SOUND, content_type="application/json", headers={"Authorization": f"Basic {token}"})
    assert (response.status_code, response["WWW-Authenticate"]) == (401, "Bearer")


def test_a_token_that_was_withdrawn_or_renewed_opens_nothing_any_more(db: None) -> None:
    sensor, token = a_sensor()
    fresh = renew_token(sensor=sensor)
    post(token, SOUND, 401)
    post(fresh, SOUND)
    withdraw(sensor=sensor, now=NOW)
    post(fresh, SOUND, 401)


def test_the_token_itself_is_kept_nowhere(db: None) -> None:
    sensor, token = a_sensor()
    kept = {name: value for name, value in vars(Sensor.objects.get(pk=sensor.pk)).items() if isinstance(value, str)}
    assert not any(token in value for value in kept.values())


@pytest.mark.parametrize(
    ("address", "method", "allowed"), [(POST, "get", "POST"), (POST, "put", "POST"), (GET, "post", "GET")]
)
def test_other_methods_are_refused(client: Client, db: None, address: str, method: str, allowed: str) -> None:
    response = getattr(client, method)(address)
    assert (response.status_code, response["Allow"]) == (405, allowed)
    assert response.json()["error"] == "method_not_allowed"


# --- Bad bodies and floods


@pytest.mark.parametrize("body", [b"", b"{", b"\xff", b"17", b"null"])
def test_a_body_that_is_not_readable_is_refused(token: str, body: bytes) -> None:
    assert post(token, body, 400)["error"] == "not_readable"


def test_a_list_as_long_as_the_limit_is_taken_and_a_longer_one_refused(token: str) -> None:
    many = [
        {"at": (NOW - timedelta(minutes=5 * n)).isoformat(), "temp_c": 20, "rh_pct": n % 50} for n in range(MOST_ITEMS)
    ]
    assert post(token, many)["recorded"] == MOST_ITEMS
    assert post(token, [*many, SOUND], 413)["error"] == "too_many"
    assert Reading.objects.count() == MOST_ITEMS


def test_a_body_of_too_many_bytes_is_refused(token: str) -> None:
    assert post(token, b" " * MOST_BYTES, 400)["error"] == "not_readable"
    assert post(token, b" " * (MOST_BYTES + 1), 413)["error"] == "too_large"


def test_a_flood_from_one_device_is_refused_and_another_is_served(db: None) -> None:
    _, flooding = a_sensor()
    _, other = a_sensor("Loft 2")
    for n in range(BURST):
        post(flooding, {**SOUND, "at": NOW.timestamp() - n})
    response = Client().post(
        POST, SOUND, content_type="application/json", headers={"Authorization": f"Bearer {flooding}"}
    )
    assert (response.status_code, response["Retry-After"]) == (429, "1")
    assert checked(response, POST, "post")["error"] == "too_fast"
    assert get(flooding, 429, temp_c="20", rh_pct="50")["error"] == "too_fast"
    assert post(other, SOUND)["recorded"] == 1
    assert Reading.objects.count() == BURST + 1


def test_a_flood_of_nonsense_is_refused_too(token: str) -> None:
    for _ in range(BURST):
        post(token, b"{", 400)
    post(token, SOUND, 429)


def test_a_refused_request_writes_nothing_at_all(token: str, django_assert_num_queries: Any) -> None:
    for _ in range(BURST):
        post(token, b"{", 400)
    with django_assert_num_queries(2):  # the stamps, and the sensor
        post(token, SOUND, 429)


def test_the_pace_comes_back_a_request_a_second(token: str, clock: time_machine.Traveller) -> None:
    for _ in range(BURST):
        post(token, [])
    clock.shift(timedelta(seconds=0.9))
    post(token, [], 429)
    clock.shift(timedelta(seconds=0.2))
    post(token, [])
    post(token, [], 429)
    clock.shift(timedelta(hours=1))
    for _ in range(BURST):
        post(token, [])
    post(token, [], 429)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["at", "temp_c", "temp_f", "rh_pct", "surface_c", "rain_mm"]), inner, max_size=5
        )
    ),
)


class TestWhateverComes(TestCase):
    @given(st.binary(max_size=40) | JSON.map(lambda value: json.dumps(value).encode()))
    def test_every_body_gets_an_answer_that_the_document_describes(self, body: bytes) -> None:
        with time_machine.travel(NOW, tick=False):
            Sensor.objects.all().update(paced_until_s=0)
            _, token = a_sensor(f"S{Sensor.objects.count()}", outdoors=True)
            headers = {"Authorization": f"Bearer {token}"}
            response = Client().post(POST, body, content_type="application/json", headers=headers)
            assert response.status_code in (200, 400, 422)
            checked(response, POST, "post")
