import json
import math
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.readings.payload import (
    MOST_ITEMS,
    PayloadError,
    Refused,
    Sent,
    TooManyError,
    items_of,
    numbers_of,
    read_items,
)

NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)
BARE_NOW = NOW.replace(tzinfo=None)
SOUND = {"at": "2026-06-01T11:00:00Z", "temp_c": 16.2, "rh_pct": 71}
HALF_A_STEP = 5e-4 + 1e-12  # readings are kept to a thousandth; a half goes either way


def read(item: object) -> Sent | Refused:
    sent, refused = read_items([item], NOW)
    return sent[0] if sent else refused[0]


def test_one_object_and_a_list_are_read_alike() -> None:
    assert items_of(json.dumps(SOUND).encode()) == items_of(json.dumps([SOUND]).encode()) == [SOUND]


@pytest.mark.parametrize(
    "body", [b"", b"{", b"\xff\xfe", b"12", b'"x"', b"null", b"[" * 100_000, b"[1" + b"0" * 5000 + b"]x"]
)
def test_a_body_that_is_no_list_of_objects_is_refused(body: bytes) -> None:
    with pytest.raises(PayloadError):
        items_of(body)


def test_a_list_may_be_as_long_as_the_limit_and_no_longer() -> None:
    assert len(items_of(json.dumps([SOUND] * MOST_ITEMS).encode())) == MOST_ITEMS
    with pytest.raises(TooManyError):
        items_of(json.dumps([SOUND] * (MOST_ITEMS + 1)).encode())


@pytest.mark.parametrize(
    "at", ["2026-06-01T11:00:00Z", "2026-06-01T13:00:00+02:00", "20260601T110000Z", 1780311600, 1780311600000]
)
def test_the_moment_is_iso_8601_or_seconds_since_1970(at: object) -> None:
    sent = read({**SOUND, "at": at})
    assert isinstance(sent, Sent)
    assert sent.air is not None
    assert sent.air.at == datetime(2026, 6, 1, 11, tzinfo=UTC)


def test_without_a_moment_that_of_arrival_is_taken() -> None:
    sent = read({"temp_f": 61.16, "rh_pct": 71.0})
    assert isinstance(sent, Sent)
    assert sent.air is not None
    assert (sent.air.at, sent.air.air_c) == (NOW, 16.2)


@pytest.mark.parametrize(
    ("item", "field"),
    [
        (12, ""),
        ([], ""),
        ({}, ""),
        ({"at": SOUND["at"]}, ""),
        ({**SOUND, "at": "2026-06-01T11:00:00"}, "at"),
        ({**SOUND, "at": "yesterday"}, "at"),
        ({**SOUND, "at": True}, "at"),
        ({**SOUND, "at": math.nan}, "at"),
        ({**SOUND, "at": 10**400}, "at"),
        ({**SOUND, "at": "2026-06-08T12:00:00Z"}, "at"),
        ({**SOUND, "at": 0}, "at"),
        ({**SOUND, "at": "0001-01-01T00:00:00+23:59"}, "at"),
        ({**SOUND, "at": "9999-12-31T23:59:59-23:59"}, "at"),
        ({"temp_c": 20}, "rh_pct"),
        ({"rh_pct": 20}, "temp_c"),
        ({**SOUND, "temp_f": 60}, "temp_f"),
        ({**SOUND, "surface_c": 1, "surface_f": 60}, "surface_f"),
        ({**SOUND, "temp_c": "16.2"}, "temp_c"),
        ({**SOUND, "temp_c": True}, "temp_c"),
        ({**SOUND, "temp_c": math.nan}, "temp_c"),
        ({**SOUND, "temp_c": 10**400}, "temp_c"),
        ({**SOUND, "temp_c": 60}, "temp_c"),
        ({**SOUND, "rh_pct": 100.1}, "rh_pct"),
        ({**SOUND, "rh_pct": -1}, "rh_pct"),
        ({**SOUND, "surface_c": 100}, "surface_c"),
        ({**SOUND, "rain_mm": -0.2}, "rain_mm"),
        ({**SOUND, "rain_mm": "wet"}, "rain_mm"),
    ],
)
def test_a_bad_item_is_refused_by_its_field_with_a_reason(item: object, field: str) -> None:
    refused = read(item)
    assert isinstance(refused, Refused)
    assert refused.field == field
    assert refused.reason.endswith((".", "?"))


def test_a_bad_item_leaves_the_others_alone() -> None:
    sent, refused = read_items([SOUND, {"temp_c": 60, "rh_pct": 1}, {"rain_mm": 0.4}], NOW)
    assert [one.index for one in sent] == [0, 2]
    assert [one.index for one in refused] == [1]


def test_air_and_rain_come_in_one_item() -> None:
    sent = read({**SOUND, "rain_mm": 0.4, "battery": 87})
    assert isinstance(sent, Sent)
    assert sent.air is not None
    assert sent.rain is not None
    assert (sent.air.air_c, sent.rain.rain_mm) == (16.2, 0.4)


def test_a_query_string_is_read_as_json_would_be() -> None:
    query = {"temp_f": " 61.16", "rh_pct": "71", "at": "2026-06-01T13:00:00 02:00", "key": "abc"}
    assert numbers_of(query) == {"temp_f": 61.16, "rh_pct": 71.0, "at": "2026-06-01T13:00:00+02:00", "key": "abc"}


@given(
    at=st.datetimes(BARE_NOW - timedelta(days=365), BARE_NOW - timedelta(days=1), timezones=st.timezones()),
    air_c=st.floats(-40, 50),
    rh_pct=st.floats(0, 100),
)
def test_what_is_sent_is_what_is_read(at: datetime, air_c: float, rh_pct: float) -> None:
    body = json.dumps({"at": at.isoformat(), "temp_c": air_c, "rh_pct": rh_pct}).encode()
    sent, refused = read_items(items_of(body), NOW)
    assert refused == []
    assert sent[0].air is not None
    assert sent[0].air.at.astimezone(UTC) == at.astimezone(UTC)
    assert sent[0].air.air_c == pytest.approx(air_c, abs=HALF_A_STEP)
    assert sent[0].air.rh_pct == pytest.approx(rh_pct, abs=HALF_A_STEP)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.sampled_from(["at", "temp_c", "temp_f", "rh_pct", "rain_mm", "x"]), inner, max_size=5)
    ),
)


@given(JSON)
def test_whatever_json_comes_each_item_is_taken_or_refused(item: object) -> None:
    items = [item, SOUND]
    sent, refused = read_items(items, NOW)
    assert sorted([one.index for one in sent] + [one.index for one in refused]) == [0, 1]
