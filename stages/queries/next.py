"""What's next: every step that hands could start now, by the station where it is done, soonest promise first."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.core.paginator import Page, Paginator
from django.urls import reverse
from django.utils.translation import gettext as _

from hulls.models import Hull, Priority
from shop.models import Pulse
from stages.engine.assess import StageStatus, assess, headline
from stages.queries.steps import deed, left_h
from stages.queries.work import InWork, in_work, rows_in_hand
from stages.queries.world import SetUp, around, seats
from stages.saying import day, hours, late

ROWS_A_PAGE = 100
SOMEDAY = date.max  # sorts hulls that were promised for no day behind the others


@dataclass(frozen=True, slots=True, kw_only=True)
class Doable:
    """One step that hands could start now, ready to show."""

    station: str
    tag: str
    href: str
    stage: str
    deed: str
    hours: str
    promised: str
    late: bool


@dataclass(frozen=True, slots=True)
class Group:
    """The steps that are done at one station."""

    station: str
    steps: Sequence[Doable]


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """One page of what can be done now; how many steps there are in all; and where nothing can, what comes first."""

    groups: Sequence[Group]
    page: Page[Doable]
    count: int
    soonest: tuple[str, datetime] | None


def next_up(*, pulse: Pulse, now: datetime, page: str = "1") -> Next:
    """Every step that hands could start now, in three queries whatever the number of hulls.

    Parameters
    ----------
    pulse : Pulse
        The request's stamps.
    now : datetime
        The present, aware.
    page : str
        Which page of `ROWS_A_PAGE` steps, as it was asked for.
    """
    rows = rows_in_hand()
    shop = around(pulse=pulse, taken=seats((row.station_id, row.place) for row in rows))
    found = [(item, assess(item.work, now)) for item in in_work(rows, shop.world)]
    ready = [(item, status) for item, statuses in found for status in statuses if status.hands]
    today = now.astimezone(shop.setup.shop.zone_info).date()
    ready.sort(key=lambda pair: _order(shop.setup, *pair))
    asked = Paginator([_doable(shop.setup, *pair, today) for pair in ready], ROWS_A_PAGE).get_page(page)
    return Next(groups=_grouped(asked), page=asked, count=len(ready), soonest=_soonest(found) if not ready else None)


def _station_of(item: InWork, status: StageStatus) -> int | None:
    return status.move_to.id if status.move_to else item.row.station_id


def _order(setup: SetUp, item: InWork, status: StageStatus) -> tuple[int, date, int, str, int]:
    places = list(setup.stations)
    station, hull = _station_of(item, status), item.hull
    at = places.index(station) if station in setup.stations else len(places)
    return at, hull.promised_on or SOMEDAY, -hull.priority, hull.tag, status.spec.position


def _doable(setup: SetUp, item: InWork, status: StageStatus, today: date) -> Doable:
    station, work_h, hull = _station_of(item, status), left_h(status), item.hull
    return Doable(
        station=setup.stations[station].name if station in setup.stations else _("Not on the floor yet"),
        tag=hull.tag,
        href=reverse("sheet", kwargs={"tag": hull.tag}),
        stage=status.spec.name,
        deed=deed(status),
        hours="" if work_h is None else hours(work_h),
        promised=_promised(hull, today),
        late=bool(late(hull.promised_on, today)),
    )


def _promised(hull: Hull, today: date) -> str:
    if hull.promised_on is None:
        return _("no day promised")
    if is_late := late(hull.promised_on, today):
        return is_late
    words = _("promised for %(day)s") % {"day": day(hull.promised_on, today)}
    return _("%(promise)s, must be on time") % {"promise": words} if hull.priority == Priority.HIGH else words


def _grouped(steps: Iterable[Doable]) -> list[Group]:
    groups: dict[str, list[Doable]] = {}
    for step in steps:
        groups.setdefault(step.station, []).append(step)
    return [Group(station, held) for station, held in groups.items()]


def _soonest(found: Iterable[tuple[InWork, tuple[StageStatus, ...]]]) -> tuple[str, datetime] | None:
    heads = [(item.hull.tag, headline(statuses)) for item, statuses in found]
    known = [(tag, head.drying.at if head.drying else head.earliest) for tag, head in heads if head]
    return min(((tag, at) for tag, at in known if at), key=lambda pair: pair[1], default=None)
