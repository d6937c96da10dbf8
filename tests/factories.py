"""Things that tests lean on, named as the trade names them."""

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4

from django.db import connection
from django.utils import timezone

from hulls.models import Hull, Owner
from shop.models import CrewMember, Product, Reading, Role, Shop, Station, Zone
from shop.setup.shelves import load_products
from stages.services.arrival import take_in
from stages.services.orders import Hand
from stages.setup.route import load_route


def a_crew_member(username: str = "hand", role: Role = Role.CREW, password: str = "cedar and brass") -> CrewMember:
    """Somebody with a log-in; the same name twice is the same person."""
    held = CrewMember.objects.filter(username=username).first()
    return held or CrewMember.objects.create_user(username=username, password=password, role=role)


def the_shop_owner() -> CrewMember:
    """The shop's owner."""
    return a_crew_member("boss", Role.OWNER)


def a_shop(*, places: int = 2, air_c: float = 23.0, rh_pct: float = 50.0) -> Shop:
    """A shop with every kind of station, products, a published route, and steady air for the last sixty days."""
    shop = Shop.objects.create(pk=1, name="The test shop", time_zone="UTC", estimates_first=False)
    indoors, yard = Zone.objects.create(name="Indoors"), Zone.objects.create(name="Outdoors", outdoors=True)
    kinds = ("rack", "strip", "wood", "canvas", "filler", "finishing", "trim")
    stations = [*((kind, indoors, at) for at, kind in enumerate(kinds)), ("yard", yard, 9)]
    Station.objects.bulk_create(
        Station(name=f"{kind} station", kind=kind, zone=zone, places=places, position=at) for kind, zone, at in stations
    )
    _steady_air((indoors, yard), air_c, rh_pct)
    load_products()
    load_route()
    return shop


def _steady_air(zones: Iterable[Zone], air_c: float, rh_pct: float) -> None:
    """Write the readings as one statement for all, since most tests begin with them."""
    now = timezone.now()
    some = Reading(air_c=air_c, rh_pct=rh_pct, at=now)
    columns = [field for field in Reading._meta.concrete_fields if not field.primary_key]
    names = ", ".join(f'"{field.column}"' for field in columns)
    values = [field.get_db_prep_save(getattr(some, field.attname), connection) for field in columns]
    place, moment = ([field.attname for field in columns].index(name) for name in ("zone_id", "at"))
    moments = [connection.ops.adapt_datetimefield_value(now - timedelta(hours=3 * n)) for n in range(-80, 500)]
    rows = []
    for zone in zones:
        values[place] = zone.pk
        for values[moment] in moments:
            rows.append(tuple(values))
    marks = ", ".join(["%s"] * len(columns))
    with connection.cursor() as cursor:
        cursor.executemany(f"INSERT INTO {Reading._meta.db_table} ({names}) VALUES ({marks})", rows)


def hand(by: CrewMember | None = None, at: datetime | None = None, override: str = "") -> Hand:
    """A request as a phone sends it."""
    when = at or timezone.now()
    return Hand(by=by or a_crew_member(), at=when, client_id=uuid4(), override=override, recorded_at=when)


def a_hull(tag: str = "H-1", *, arrived: datetime | None = None, owner: str = "Ada Reed", **particulars: Any) -> Hull:
    """A sixteen-footer that has come in."""
    sizes = {"length_m": 4.9, "beam_m": 0.88, "depth_m": 0.31, "end_depth_m": 0.58}
    when = arrived or timezone.now()
    hull = Hull(
        tag=tag,
        owner=Owner.objects.create(name=owner, email="owner@example.org"),
        **{**sizes, "arrived_on": when.date(), "promised_on": date(2030, 1, 1), **particulars},
    )
    take_in(hull=hull, hand=hand(at=when))
    return hull


def station(kind: str) -> Station:
    """The first station of a kind."""
    return Station.objects.filter(kind=kind)[0]


def product(kind: str) -> Product:
    """The shop's usual product of a kind."""
    return Product.objects.get(kind=kind, usual=True)
