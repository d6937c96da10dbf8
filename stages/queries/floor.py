"""The floor: every station with its places, the hulls on them, and how long what is shown stays true.

However many hulls there are, it takes seven queries: where every hull stands, the rows, stages and coats of those
that are shown, whose owners wait, whose promises are in danger, and which plan holds. A station shows its first places;
the rest stand on pages of its own.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.core.paginator import Page, Paginator
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hulls.drawing import HullDrawing, Scale, floor_scale
from hulls.sizes import drawn_from
from shop.models import Pulse, Station
from shop.units import UnitSystem, format_temperature
from stages.engine.assess import StageStatus, assess, headline
from stages.models import HullWork
from stages.queries.foreseen import FRESH, holds_until, read_at, version_of
from stages.queries.looks import drawing_of
from stages.queries.planned_days import free_until
from stages.queries.promises import InDanger, in_danger
from stages.queries.steps import Ring, ring_of, step_when, step_words
from stages.queries.thread import Waiting, owners_who_wait
from stages.queries.work import InWork, in_work
from stages.queries.world import Around, around, seats
from stages.saying import day, late, when

NOWHERE = 0  # stands for the hulls that came in and were not given a place yet
PLACES_SHOWN = 12
PLACES_A_PAGE = 48


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """One place, as `components/rail.html` takes it; a free one has its word and the height of the others."""

    view_box: str
    free: str = ""
    id: str = ""
    href: str = ""
    drawing: HullDrawing | None = None
    name: str = ""
    tag: str = ""
    what: str = ""
    late: str = ""
    when: str = ""
    now: bool = False
    ring: Ring | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bay:
    """One station, as `components/station.html` takes it."""

    name: str
    places: Sequence[Rail]
    free: str
    full: bool = False
    air: str = ""
    href: str = ""
    more: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """What the page shows; ``page`` and ``only`` belong to the page of one station.

    ``waiting`` are the boats whose owners wait for the shop's word, ``in_danger`` those whose promise hardly holds.
    """

    bays: Sequence[Bay]
    version: str
    only: str
    page: Page[int] | None
    station: int | None = None
    waiting: tuple[Waiting, ...] = ()
    in_danger: tuple[InDanger, ...] = ()

    @property
    def pager(self) -> str:
        """The rest of the query string in the links to other pages."""
        return f"{urlencode({'station': self.station or NOWHERE})}&"

    @property
    def poll(self) -> str:
        """The query string by which a screen asks whether this still holds."""
        version = urlencode({"v": self.version})
        return version if self.page is None else f"{version}&{self.pager}{urlencode({'page': self.page.number})}"


class NoSuchStation(LookupError):
    """The shop has no station of that number."""


def the_floor(*, pulse: Pulse, now: datetime, station: int | None = None, page: str = "1") -> Floor:
    """The floor, or one station of it.

    Parameters
    ----------
    pulse : Pulse
        The request's stamps.
    now : datetime
        The present, aware.
    station : int, optional
        Only this station, by pages of `PLACES_A_PAGE`; `NOWHERE` for the hulls without a place.
    page : str
        Which of its pages, as it was asked for.

    Raises
    ------
    NoSuchStation
        When the shop has no such station.
    """
    standing = HullWork.objects.filter(handed_over_at__isnull=True).order_by("hull__tag")
    held = list(standing.values_list("pk", "station_id", "place"))
    shop = around(pulse=pulse, taken=seats(row[1:] for row in held))
    stands = _stands(shop, held)
    if station is not None:
        if station not in stands:
            raise NoSuchStation(station)
        stands = {station: stands[station]}
    shown, asked = _shown(stands, page, alone=station is not None)
    return _drawn(shop, stands, shown, now, asked if station is not None else None)


Stand = dict[int, int | None]  # by number of the place: the hull on it, or None where it is free


def _stands(shop: Around, held: Iterable[tuple[int, int | None, int | None]]) -> dict[int, Stand]:
    """Every station's places; hulls without one are numbered by their tags."""
    stands: dict[int, Stand] = {pk: dict.fromkeys(range(1, row.places + 1)) for pk, row in shop.setup.stations.items()}
    loose: Stand = {}
    for pk, station, place in held:
        if station in stands and place is not None:
            stands[station][place] = pk
        else:
            loose[len(loose) + 1] = pk
    return stands | {NOWHERE: loose}


def _shown(stands: dict[int, Stand], page: str, *, alone: bool) -> tuple[dict[int, Stand], Page[int] | None]:
    shown, asked = {}, None
    for station, stand in stands.items():
        asked = Paginator(sorted(stand), PLACES_A_PAGE if alone else PLACES_SHOWN).get_page(page if alone else 1)
        shown[station] = {place: stand[place] for place in asked.object_list}
    return shown, asked


def _drawn(
    shop: Around, stands: dict[int, Stand], shown: dict[int, Stand], now: datetime, page: Page[int] | None
) -> Floor:
    wanted = [pk for stand in shown.values() for pk in stand.values() if pk is not None]
    rows = HullWork.objects.filter(pk__in=wanted).select_related("hull", "route")
    found = {item.row.pk: (item, assess(item.work, now)) for item in in_work(rows, shop.world)}
    scale = floor_scale(drawn_from(item.hull) for item, statuses in found.values())
    rails = {pk: _rail(shop, item, headline(statuses), scale, now) for pk, (item, statuses) in found.items()}
    free = _free_rails(shop, scale, now)
    alone = page is not None
    bays = [
        _bay(
            shop,
            station,
            stands[station],
            [rails[pk] if pk else free(station) for pk in stand.values()],
            now,
            alone=alone,
        )
        for station, stand in shown.items()
        if stand or alone
    ]
    return Floor(
        bays=bays,
        version=version_of(shop.pulse, holds_until(shop, found.values(), now)),
        only=bays[0].name if alone else "",
        page=page,
        station=next(iter(shown)) if alone else None,
        waiting=owners_who_wait(now),
        in_danger=in_danger(shop.setup.shop),
    )


def _free_rails(shop: Around, scale: Scale, now: datetime) -> Callable[[int], Rail]:
    """Give the next free place of a station; those that somebody is planned for come first and say until when."""
    zone_info = shop.setup.shop.zone_info
    today = now.astimezone(zone_info).date()
    until = {kind: iter(days) for kind, days in free_until(now, zone_info).items()}

    def rail(station: int) -> Rail:
        taken_on = next(until.get(shop.setup.stations[station].kind, iter(())), None)
        if taken_on == today:
            words = _("free for some hours")
        else:
            words = _("free until %(day)s") % {"day": day(taken_on, today)} if taken_on else _("free")
        return Rail(view_box=scale.view_box, free=words)

    return rail


def _rail(shop: Around, item: InWork, status: StageStatus | None, scale: Scale, now: datetime) -> Rail:
    tag = item.hull.tag
    what = step_words(status, item.work) if status else _("every step is done")
    moment = step_when(status, now) if status else ""
    is_late = late(item.hull.promised_on, now.astimezone(shop.setup.shop.zone_info).date())
    return Rail(
        view_box=scale.view_box,
        id=f"hull-{tag}",
        href=reverse("sheet", kwargs={"tag": tag}),
        drawing=drawing_of(item.hull, item.work, scale),
        name=", ".join(filter(None, (tag, what, is_late, moment))),
        tag=tag,
        what=what,
        late=is_late,
        when=moment,
        now=bool(status and status.hands),
        ring=ring_of(status) if status else None,
    )


def _bay(shop: Around, station: int, stand: Stand, rails: Sequence[Rail], now: datetime, *, alone: bool) -> Bay:
    hidden = 0 if alone else len(stand) - len(rails)
    href = f"?{urlencode({'station': station})}" if hidden else ""
    taken = sum(1 for pk in stand.values() if pk is not None)
    if station == NOWHERE:
        count = ngettext("%(n)s hull", "%(n)s hulls", taken) % {"n": taken}
        more = ngettext("%(n)s more hull", "%(n)s more hulls", hidden) % {"n": hidden} if hidden else ""
        return Bay(name=_("Not on the floor yet"), places=rails, free=count, href=href, more=more)
    row, free = shop.setup.stations[station], len(stand) - taken
    return Bay(
        name=row.name,
        places=rails,
        free=_("%(free)s of %(all)s free") % {"free": free, "all": len(stand)} if free else _("full"),
        full=not free,
        air=_air(shop, row, now),
        href=href,
        more=ngettext("%(n)s more place", "%(n)s more places", hidden) % {"n": hidden} if hidden else "",
    )


def _air(shop: Around, station: Station, now: datetime) -> str:
    log = shop.world.air.get(station.zone_id)
    at = read_at(log, now)
    if log is None or at is None:
        return ""
    air = log.air_at(at)
    words = f"{format_temperature(air.air_c, UnitSystem(shop.setup.shop.units))} · {air.rh_pct:.0f} %"
    return words if now - at <= FRESH else f"{words} · {when(at, now)}"
