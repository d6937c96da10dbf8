"""All hulls by pages: those in the shop with their next step, those handed over apart; and the next free tag."""

import re
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.core.paginator import Page, Paginator
from django.db.models import Q
from django.utils import timezone

from hulls.drawing import HullDrawing, floor_scale
from hulls.models import Hull
from hulls.sizes import drawn_from
from shop.models import Pulse
from shop.units import UnitSystem, format_length
from stages.engine.assess import assess, headline
from stages.models import Entry, HullWork
from stages.queries.looks import drawing_of
from stages.queries.sheet_skin import skin_words
from stages.queries.steps import Ring, ring_of, step_when, step_words
from stages.queries.work import InWork, in_work
from stages.queries.world import around

A_PAGE = 24
TRAILING = re.compile(r"(\d+)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class HullRow:
    """One hull of the list, ready to read."""

    tag: str
    name: str
    owner: str
    length: str
    drawing: HullDrawing
    skin: str
    stands: str
    what: str
    when: str
    now: bool
    ring: Ring | None
    promised_on: date | None
    late: bool
    handed_over_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HullList:
    """A page of hulls, and how many there are of either sort."""

    page: Page[Any]
    rows: tuple[HullRow, ...]
    here: int
    handed_over: int


def hull_list(*, pulse: Pulse, now: datetime, search: str, apart: bool, page: str, owners: bool) -> HullList:
    """One page of the hulls.

    Parameters
    ----------
    pulse : Pulse
        The stamps as the request read them.
    now : datetime
        The moment, aware.
    search : str
        Part of a tag, a boat's name or an owner's name; empty for all.
    apart : bool
        The handed-over ones instead of those in the shop.
    page : str
        Number of the page, as the address has it.
    owners : bool
        Whether whoever asks may see whose boats these are.
    """
    found = HullWork.objects.filter(_like(search, owners=owners)) if search else HullWork.objects.all()
    here, over = found.filter(handed_over_at__isnull=True), found.filter(handed_over_at__isnull=False)
    wanted = over.order_by("-handed_over_at", "hull__tag") if apart else here.order_by("hull__tag")
    pages = Paginator(wanted.select_related("hull__owner", "route", "station"), A_PAGE)
    held = pages.get_page(page)
    other = (here if apart else over).count()
    shop = around(pulse=pulse)
    units = UnitSystem(shop.setup.shop.units)
    items = in_work(held.object_list, shop.world)
    scale = floor_scale(drawn_from(item.hull) for item in items)
    rows = tuple(_row(item, units, scale, now, owners=owners) for item in items)
    counts = (other, pages.count) if apart else (pages.count, other)
    return HullList(page=held, rows=rows, here=counts[0], handed_over=counts[1])


def _like(search: str, *, owners: bool) -> Q:
    like = Q(hull__tag__icontains=search) | Q(hull__name__icontains=search)
    return like | Q(hull__owner__name__icontains=search) if owners else like


def _row(item: InWork, units: UnitSystem, scale: Any, now: datetime, *, owners: bool) -> HullRow:
    row, hull, work = item.row, item.hull, item.work
    head = headline(assess(work, now)) if row.handed_over_at is None else None
    return HullRow(
        tag=hull.tag,
        name=hull.name,
        owner=hull.owner.name if owners else "",
        length=format_length(hull.length_m, units, parts_of_inch=8),
        drawing=drawing_of(hull, work, scale),
        skin=skin_words(hull, work),
        stands=row.station.name if row.station else "",
        what=step_words(head, work) if head else "",
        when=step_when(head, now) if head else "",
        now=head.hands if head else False,
        ring=ring_of(head) if head else None,
        promised_on=hull.promised_on,
        late=bool(head and hull.promised_on and hull.promised_on < timezone.localtime(now).date()),
        handed_over_at=row.handed_over_at,
    )


def next_tag() -> str:
    """A tag for the next hull: one more than that of the hull that came last, where that ends in a number."""
    last = Hull.objects.order_by("-pk").values_list("tag", flat=True).first()
    match = TRAILING.search(last) if last else None
    if last is None or match is None:
        return "H-1" if last is None else ""
    stem, digits = last[: match.start()], match.group()
    taken = {tag.lower() for tag in Hull.objects.filter(tag__istartswith=stem).values_list("tag", flat=True)}
    number = int(digits) + 1
    while (tag := f"{stem}{number:0{len(digits)}}").lower() in taken:
        number += 1
    return tag if len(tag) <= 16 else ""


def taken_in_by(client_id: str) -> str | None:
    """The tag of the hull that a form with this number has taken in already."""
    return Entry.objects.filter(client_id=client_id).values_list("hull__tag", flat=True).first()
