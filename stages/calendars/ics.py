"""Events as an iCalendar stream (RFC 5545), by the library `icalendar`: no Django, no clock."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from icalendar import Calendar, Event

PRODUCT = "-//Ribband//plan//EN"
LOOK_AGAIN = timedelta(minutes=30)


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """Something that is planned.

    Parameters
    ----------
    uid : str
        What stays the same when it moves, unique in the world.
    start, end : datetime or date
        By the shop's clock, with its time zone; days for what has no time, the end is the day after the last.
    summary, place, words : str
        What it is, where, and more about it.
    """

    uid: str
    start: datetime | date
    end: datetime | date
    summary: str
    place: str = ""
    words: str = ""


def written(name: str, events: Iterable[Planned], at: datetime) -> bytes:
    """Write a calendar.

    Parameters
    ----------
    name : str
        What calendar programs call it.
    events : iterable of Planned
        What is in it.
    at : datetime
        When it was planned, aware; the same plan gives the same bytes.

    Returns
    -------
    bytes
        UTF-8 in lines of at most 75 octets (RFC 5545, 3.1), each time zone described in it (3.6.5).
    """
    name = " ".join(name.split())  # the library escapes no line breaks here
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("name", name)  # RFC 7986, 5.1
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", LOOK_AGAIN, parameters={"VALUE": "DURATION"})  # RFC 7986, 5.7
    for event in sorted(events, key=lambda one: one.uid):
        calendar.add_component(_event(event, at))
    calendar.add_missing_timezones()
    content: bytes = calendar.to_ical()
    return content


def _event(planned: Planned, at: datetime) -> Event:
    event = Event()
    event.add("uid", planned.uid)
    event.add("dtstamp", at)
    event.add("dtstart", planned.start)
    event.add("dtend", planned.end)
    event.add("summary", planned.summary)
    event.add("status", "TENTATIVE")  # a plan may move
    event.add("transp", "OPAQUE" if isinstance(planned.start, datetime) else "TRANSPARENT")
    if planned.place:
        event.add("location", planned.place)
    if planned.words:
        event.add("description", planned.words)
    return event
