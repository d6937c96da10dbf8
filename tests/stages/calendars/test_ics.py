"""iCalendar streams, held against RFC 5545 and read back by the library `icalendar`."""

from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from icalendar import Calendar

from stages.calendars.ics import Planned, written

TORONTO = ZoneInfo("America/Toronto")
AT = datetime(2026, 10, 28, 9, 30, tzinfo=UTC)
TITLE = "Prime; coat 1, of 2 \\ “Bär” – " + "long " * 30


def planned(uid: str, start: datetime | date, end: datetime | date, summary: str = TITLE) -> Planned:
    return Planned(uid=uid, start=start, end=end, summary=summary, place="finishing room", words="Ines,\nTobias; all")


def a_calendar() -> bytes:
    """A sitting on each side of the end of summer time (1 November 2026, 2 o'clock), and a day."""
    return written(
        "The shop, and its boats",
        [
            planned("b", datetime(2026, 11, 2, 8, tzinfo=TORONTO), datetime(2026, 11, 2, 10, 15, tzinfo=TORONTO)),
            planned("a", datetime(2026, 10, 30, 8, tzinfo=TORONTO), datetime(2026, 10, 30, 10, tzinfo=TORONTO)),
            planned("c", date(2026, 12, 24), date(2026, 12, 25), "H-1 promised"),
        ],
        AT,
    )


def test_lines_end_with_crlf_and_hold_no_more_than_75_octets() -> None:
    content = a_calendar()
    assert content.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert max(map(len, content.split(b"\r\n"))) <= 75  # RFC 5545, 3.1


def test_texts_are_escaped_and_read_back_as_they_were() -> None:
    content = a_calendar()
    unfolded = content.replace(b"\r\n ", b"").decode()
    # RFC 5545, 3.3.11: backslash, semicolon and comma are escaped, a line's end is \n
    assert "SUMMARY:Prime\\; coat 1\\, of 2 \\\\ “Bär”" in unfolded
    assert "DESCRIPTION:Ines\\,\\nTobias\\; all" in unfolded
    events: dict[str, Any] = {str(event["uid"]): event for event in Calendar.from_ical(content).walk("VEVENT")}
    assert str(events["a"]["summary"]) == TITLE
    assert str(events["a"]["description"]) == "Ines,\nTobias; all"


def test_every_event_has_what_the_standard_asks_for() -> None:
    calendar: Any = Calendar.from_ical(a_calendar())
    assert (str(calendar["version"]), str(calendar["prodid"])) == ("2.0", "-//Ribband//plan//EN")
    events = calendar.walk("VEVENT")
    assert len({str(event["uid"]) for event in events}) == len(events) == 3
    for event in events:
        assert event["dtstamp"].dt == AT
        assert event["dtstamp"].to_ical().endswith(b"Z")  # RFC 5545, 3.8.7.2: in UTC
        assert event["dtend"].dt > event["dtstart"].dt


def test_hours_stay_by_the_clock_when_the_clocks_change() -> None:
    content = a_calendar()
    events: dict[str, Any] = {str(event["uid"]): event for event in Calendar.from_ical(content).walk("VEVENT")}
    # Eight in the morning in Toronto is 12 UTC in summer time, and 13 UTC after it.
    assert events["a"]["dtstart"].dt.astimezone(UTC) == datetime(2026, 10, 30, 12, tzinfo=UTC)
    assert events["b"]["dtstart"].dt.astimezone(UTC) == datetime(2026, 11, 2, 13, tzinfo=UTC)
    assert b"DTSTART;TZID=America/Toronto:20261102T080000" in content
    zones = Calendar.from_ical(content).walk("VTIMEZONE")
    assert [str(zone["tzid"]) for zone in zones] == ["America/Toronto"]  # RFC 5545, 3.6.5


def test_a_day_has_no_time_and_ends_before_the_next() -> None:
    assert b"DTSTART;VALUE=DATE:20261224" in a_calendar()
    assert b"DTEND;VALUE=DATE:20261225" in a_calendar()


def test_the_same_plan_is_the_same_bytes_whatever_the_order() -> None:
    assert a_calendar() == a_calendar()


def test_a_name_of_two_lines_is_written_in_one() -> None:
    read: Any = Calendar.from_ical(written("H-1 Heron;\r\n the second", [], AT))
    assert read["name"] == read["x-wr-calname"] == "H-1 Heron; the second"
