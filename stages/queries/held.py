"""The pages that a phone holds for where the network does not reach: the day's."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.urls import reverse

from shop.models import Pulse
from stages.engine.assess import StageStatus, assess
from stages.queries.work import InWork, in_work, rows_in_hand
from stages.queries.world import around, seats

MOST_SHEETS = (
    80  # shops have up to 60 hulls in hand; one that is held weighs 60 kB at most: 5 MB, and 0.9 MB on the air
)
SHEET_LIVES, LIST_LIVES = timedelta(hours=2), timedelta(minutes=10)  # what time alone changes on them is old by then


@dataclass(frozen=True, slots=True)
class Held:
    """An address, and a stamp that changes when a phone should ask for it anew."""

    path: str
    stamp: str


def pages_of_the_day(*, pulse: Pulse, now: datetime) -> list[Held]:
    """The floor, what's next, what waits, and the sheets of the hulls in hand, those with work on the bench first.

    In as many queries whatever the number of hulls.

    Parameters
    ----------
    pulse : Pulse
        The request's stamps.
    now : datetime
        The present, aware.
    """
    lists = [Held(reverse(name), f"{pulse.beat} {_span(now, LIST_LIVES)}") for name in ("floor", "next")]
    waits = Held(reverse("waiting"), str(_span(now, SHEET_LIVES)))
    return [*lists, waits, *list(_sheets(pulse, now))[:MOST_SHEETS]]


def _sheets(pulse: Pulse, now: datetime) -> Iterator[Held]:
    rows = rows_in_hand()
    shop = around(pulse=pulse, taken=seats((row.station_id, row.place) for row in rows))
    found = [(item, assess(item.work, now)) for item in in_work(rows, shop.world)]
    for item, _statuses in sorted(found, key=_order):
        stamp = f"{item.row.lines} {_span(now, SHEET_LIVES)}"
        yield Held(reverse("sheet", kwargs={"tag": item.hull.tag}), stamp)


def _order(found: tuple[InWork, tuple[StageStatus, ...]]) -> tuple[bool, bool, str]:
    item, statuses = found
    begun = any(status.record.started_at and not status.record.finished_at for status in statuses)
    return (not begun, not any(status.hands for status in statuses), item.hull.tag)


def _span(now: datetime, lives: timedelta) -> int:
    return int(now.timestamp() // lives.total_seconds())
