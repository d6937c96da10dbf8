"""A shop for the state machines: a short route with everything in it that can go wrong, two boats, changing weather."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.utils import timezone

from hulls.models import Hull
from shop.models import CrewMember, Product, Station, Zone
from stages.models import Entry, Route, RouteStage
from stages.services.air import record_weather
from stages.services.arrival import publish_route
from tests.factories import a_crew_member, a_hull, a_shop, the_shop_owner
from tests.stages.machines.oracle import Opinion

DAYS = 100
WET = 3  # every third day it rains

SCRAPE = {"strips": "brightwork", "gates": ["lead"], "when": "condition:brightwork=flaking"}
# key, after, station, coats of kind on surface, more
STAGES: list[tuple[str, str, str, tuple[int, str, str], dict[str, Any]]] = [
    ("strip", "", "strip", (0, "", ""), {"strips": "skin", "gates": ["lead"]}),
    ("scrape", "strip", "strip", (0, "", ""), SCRAPE),
    ("ribs", "strip", "wood", (0, "", ""), {"when": "count:ribs", "counted": "ribs"}),
    ("oil", "ribs", "finishing", (1, "oil", "planking"), {"gates": ["rags"]}),
    ("canvas", "oil", "canvas", (1, "canvas", "skin"), {"needs_surface": "planking", "needs_dryness": "handle"}),
    ("preserve", "canvas", "yard", (1, "preservative", "skin"), {}),
    ("fill", "preserve", "filler", (2, "latex_filler", "skin"), {}),
    ("prime", "fill", "finishing", (2, "primer", "skin"), {}),
    ("enamel", "prime", "finishing", (2, "enamel", "skin"), {}),
    ("varnish", "scrape", "finishing", (2, "varnish", "brightwork"), {"gates": ["rags"]}),
    ("seal", "strip", "finishing", (2, "sealer", "inside"), {}),
    ("top", "seal", "finishing", (1, "varnish", "inside"), {}),
    ("hand_over", "enamel varnish top", "", (0, "", ""), {"gates": ["hand_over"]}),
]
KEYS = [stage[0] for stage in STAGES]


def a_short_route() -> Route:
    """Publish it for the boats that come in."""
    route = Route.objects.create(name="Short")
    made: dict[str, RouteStage] = {}
    for position, (key, after, station, (coats, kind, surface), more) in enumerate(STAGES):
        made[key] = RouteStage.objects.create(
            route=route,
            key=key,
            name=key,
            position=position,
            station_kind=station,
            coats=coats,
            product_kind=kind,
            surface=surface,
            **more,
        )
        made[key].after.set([made[before] for before in after.split()])
    publish_route(route=route)
    return route


@dataclass
class Yard:
    """The shop's rows, read once."""

    route: Route
    crew: CrewMember
    owner: CrewMember
    products: dict[int, Product]
    stations: list[Station]
    outdoors: set[int]
    dry_days: set[date]
    since: datetime

    def hulls(self) -> tuple[Hull, Hull]:
        """Two boats come in, with an old finish on their brightwork and inside; they go with the example."""
        return tuple(a_hull(f"M-{n}", arrived=self.since) for n in (1, 2))  # type: ignore[return-value]

    def opinion(self) -> Opinion:
        """A fresh oracle."""
        stages = {stage.key: stage for stage in self.route.stages.all()}
        after = {key: set(befores.split()) for key, befores, *_ in STAGES}
        before: dict[str, set[str]] = {}
        for key in KEYS:
            before[key] = after[key].union(*(before[other] for other in after[key]))
        stations = {station.pk: station.kind for station in self.stations}
        return Opinion(self.products, stages, before, stations, self.outdoors, self.dry_days)


def a_yard() -> Yard:
    """Set the shop up: the labels' own air everywhere, rain on every third day."""
    a_shop(places=1)
    route = a_short_route()
    since = timezone.now() - timedelta(days=DAYS)
    yard = Zone.objects.get(outdoors=True)
    days = [since.date() + timedelta(days=n) for n in range(DAYS)]
    for n, day in enumerate(days):
        record_weather(zone=yard, day=day, dry=bool(n % WET))
    return Yard(
        route=route,
        crew=a_crew_member(),
        owner=the_shop_owner(),
        products={product.pk: product for product in Product.objects.all()},
        stations=list(Station.objects.all()),
        outdoors={yard.pk},
        dry_days={day for n, day in enumerate(days) if n % WET},
        since=since,
    )


def lines_of(hull: int) -> list[Entry]:
    """The hull's log as it stands in the database."""
    return list(Entry.objects.filter(hull=hull).order_by("number"))
