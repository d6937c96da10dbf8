"""Time stamps. ISO 8601 by its own forms; seconds by POSIX.1-2017 section 4.16; the habits of loggers from memory."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.readings.stamps import fixed_zone, read_stamp, zone_named
from shop.sheets.dates import DateOrder
from shop.sheets.problems import CellProblem

DMY, MDY, YMD = DateOrder.DMY, DateOrder.MDY, DateOrder.YMD
NOON = datetime(2026, 3, 4, 14, 5, 6).replace(tzinfo=None)  # noqa: DTZ001 - what a clock on the wall shows


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("2026-03-04T14:05:06", None),
        ("2026-03-04 14:05:06", None),
        ("2026-03-04 14:05:06", DMY),
        ("  2026-03-04   14:05:06 ", None),
        ("4.3.2026 14:05:06", DMY),
        ("04/03/2026 14:05:06", DMY),
        ("04/03/2026, 02:05:06 PM", DMY),
        ("03/04/2026 2:05:06 pm", MDY),
        ("03/04/26 02:05:06 P.M.", MDY),
        ("4-3-26 14:05:06", DMY),
        ("26/03/04 14:05:06", YMD),
        ("2026/3/4 14:05:06", YMD),
        ("4 Mar 2026 14:05:06", None),
        ("04-Mar-26 02:05:06 PM", None),
        ("4. March 2026, 14:05:06", None),
    ],
)
def test_a_stamp_is_read_as_what_the_clock_showed(text: str, order: DateOrder | None) -> None:
    assert read_stamp(text, order) == NOON


@pytest.mark.parametrize(
    ("text", "hour"),
    [
        ("12:00 AM", 0),
        ("12:59 AM", 0),
        ("1:00 AM", 1),
        ("11:00 AM", 11),
        ("12:00 PM", 12),
        ("1:00 PM", 13),
        ("11:59 PM", 23),
    ],
)
def test_noon_and_midnight_of_the_twelve_hour_clock(text: str, hour: int) -> None:
    assert read_stamp(f"03/04/2026 {text}", MDY).hour == hour


def test_the_end_of_a_day_is_the_beginning_of_the_next() -> None:
    assert read_stamp("31.12.2026 24:00", DMY) == read_stamp("01.01.2027 00:00", DMY)


def test_parts_of_a_second_are_kept() -> None:
    assert read_stamp("04/03/2026 14:05:06,250", DMY) == NOON + timedelta(milliseconds=250)


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("2026-03-04T14:05:06Z", None),
        ("2026-03-04T16:05:06+02:00", None),
        ("2026-03-04 09:05:06-0500", None),
        ("04/03/2026 14:05:06 UTC", DMY),
        ("04/03/2026 03:05:06 PM GMT+1", DMY),
        ("1772633106", None),
        ("1772633106000", None),
    ],
)
def test_a_stamp_that_says_its_offset_needs_no_zone(text: str, order: DateOrder | None) -> None:
    assert read_stamp(text, order) == NOON.replace(tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("", None),
        ("yesterday", None),
        ("04/03/2026 14:05", None),  # either day first or month first
        ("03/04/26 14:05", None),
        ("2026-03-04", None),  # no time of the day
        ("2026-02-29 14:05", None),
        ("31/04/2026 14:05", DMY),
        ("03/13/2026 14:05", DMY),
        ("04/03/2026 25:05", DMY),
        ("04/03/2026 24:01", DMY),
        ("04/03/2026 14:60", DMY),
        ("04/03/2026 14:05:60", DMY),
        ("04/03/2026 13:05 PM", DMY),
        ("04/03/2026 0:05 AM", DMY),
        ("4 Foo 2026 14:05", None),
        ("04/03/2026 14:05 GMT+15", DMY),
        ("2026-03-04 24:30:00", None),
    ],
)
def test_what_is_no_moment_or_could_be_two_is_refused(text: str, order: DateOrder | None) -> None:
    with pytest.raises(CellProblem) as caught:
        read_stamp(text, order)
    assert str(caught.value).endswith(".")


@pytest.mark.parametrize(
    ("text", "hours"),
    [("UTC", 0), ("gmt", 0), ("Z", 0), ("UTC+01:00", 1), ("GMT-5", -5), ("+02", 2), ("-0330", -3.5), ("GMT - 5", -5)],
)
def test_a_fixed_offset_is_a_zone(text: str, hours: float) -> None:
    assert fixed_zone(text) == zone_named(text) == timezone(timedelta(hours=hours))


@pytest.mark.parametrize("name", ["", "5", "Europe/Nowhere", "../etc/passwd", "UTC+15:00", "Summer"])
def test_what_is_no_zone_is_refused(name: str) -> None:
    with pytest.raises(ValueError, match=r"zone|UTC"):
        zone_named(name)


FORMS = {
    DMY: ("%d/%m/%Y %H:%M:%S", "%d.%m.%y %I:%M:%S %p", "%d-%b-%Y %H:%M:%S"),
    MDY: ("%m/%d/%Y %I:%M:%S %p", "%m-%d-%y %H:%M:%S"),
    YMD: ("%Y/%m/%d %H:%M:%S", "%Y-%m-%d %I:%M:%S %p", "%Y-%m-%dT%H:%M:%S"),
}
BARE = st.datetimes(NOON.replace(year=2001), NOON.replace(year=2099))


@given(BARE, st.sampled_from([(order, form) for order, forms in FORMS.items() for form in forms]))
def test_whatever_form_a_moment_is_written_in_it_is_read_back(when: datetime, how: tuple[DateOrder, str]) -> None:
    order, form = how
    assert read_stamp(when.strftime(form), order) == when.replace(microsecond=0)
