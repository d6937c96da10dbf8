"""A shop for the pure tests, in the trade's words: products and route of the set-up, steady air, one hull."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache
from typing import Any

from shop.models import Product as ProductRow
from shop.setup.products import PRODUCTS
from stages.engine.airlog import AirLog, AirReading
from stages.engine.findings import Ask, Finding
from stages.engine.log import EntryKind, LogEntry
from stages.engine.products import Product
from stages.engine.route import Route, StageSpec
from stages.engine.rules import judge
from stages.engine.state import Coat, HullState, MoistureReading, StageRecord, Stay
from stages.engine.vocab import Action, Condition, Gate, ProductKind, StationKind, Surface
from stages.engine.work import Work
from stages.engine.world import Station, World
from stages.models import RouteStage
from stages.queries.routes import engine_stage
from stages.queries.world import engine_product
from stages.setup.route import STAGES

NOW = datetime(2031, 5, 15, 9, tzinfo=UTC)  # a Thursday
INDOORS, YARD = 1, 2
REFERENCE_AIR = (23.0, 50.0)  # the labels' own condition, °C and %, so that hours on the wall are hours of the label
ON = {
    ProductKind.OIL: Surface.PLANKING,
    ProductKind.SEALER: Surface.BRIGHTWORK,
    ProductKind.VARNISH: Surface.BRIGHTWORK,
}
CHOICES = {"filler": "latex", "inside": "before"}


@cache
def the_products() -> dict[int, Product]:
    """The products that a new shop starts with, by number."""
    rows = [ProductRow(pk=number, **values) for number, values in enumerate(PRODUCTS, start=1)]
    return {row.pk: engine_product(row) for row in rows}


@cache
def the_usual() -> dict[ProductKind, int]:
    """The numbers of the usual ones."""
    return {ProductKind(v["kind"]): n for n, v in enumerate(PRODUCTS, start=1) if v.get("usual")}


def product(kind: str) -> Product:
    """The usual product of a kind."""
    return the_products()[the_usual()[ProductKind(kind)]]


@cache
def the_route() -> Route:
    """The route that a new shop starts with."""
    rows = [{**values, "position": 10 * n} for n, values in enumerate(STAGES, start=1)]
    return Route(
        name="Wood and canvas",
        version=1,
        stages=tuple(
            engine_stage(RouteStage(**{k: v for k, v in row.items() if k != "after"}), after=row["after"])
            for row in rows
        ),
    )


def stage(key: str) -> StageSpec:
    """A stage of that route."""
    return the_route().by_key[key]


def a_stage(key: str = "job", **more: Any) -> StageSpec:
    """A stage that asks for nothing but what is said."""
    return StageSpec(key=key, name=key, **more)


def a_route(*stages: StageSpec) -> Route:
    """A route of these stages."""
    return Route(name="short", version=1, stages=stages)


def steady(air_c: float = 23.0, rh_pct: float = 50.0) -> AirLog:
    """Air that does not change, read every three hours around now."""
    hours = range(-24 * 60, 24 * 60, 3)
    return AirLog.of(AirReading(at=NOW + timedelta(hours=h), air_c=air_c, rh_pct=rh_pct) for h in hours)


@cache
def reference_air() -> AirLog:
    """Air at the labels' own condition."""
    return steady(*REFERENCE_AIR)


def dry_days(*days_ago: int) -> frozenset[date]:
    """Days without rain, counted back from today."""
    return frozenset(NOW.date() - timedelta(days=n) for n in days_ago)


def number_of(kind: StationKind) -> int:
    """The number of the one station of a kind."""
    return list(StationKind).index(kind) + 1


def a_world(
    *,
    full: Iterable[str] = (),
    dry: frozenset[date] = frozenset(),
    air: AirLog | None = None,
    yard_air: AirLog | None = None,
) -> World:
    """A shop with two places at one station of every kind; ``full`` names the kinds where none is free."""
    log = air or reference_air()
    places = {}
    for kind in StationKind:
        outdoors = kind is StationKind.YARD
        places[number_of(kind)] = Station(
            id=number_of(kind),
            name=f"{kind} station",
            kind=kind,
            zone=YARD if outdoors else INDOORS,
            outdoors=outdoors,
            places=2,
            taken=frozenset({1, 2} if kind in set(full) else ()),
        )
    return World(
        stations=places,
        products=the_products(),
        usual=the_usual(),
        air={INDOORS: log, YARD: yard_air or log},
        outdoors=frozenset({YARD}),
        dry_days={YARD: dry},
    )


def a_coat(
    kind: str, *, hours_ago: float = 1000.0, sanded: bool = False, on: str = "", zone: int = INDOORS, of: str = "job"
) -> Coat:
    """A coat of the usual product of a kind, where such a coat goes."""
    at = NOW - timedelta(hours=hours_ago)
    return Coat(
        entry=1,
        stage=of,
        surface=Surface(on) if on else ON.get(ProductKind(kind), Surface.SKIN),
        product=product(kind).id,
        zone=zone,
        at=at,
        number=1,
        sanded_at=NOW - timedelta(hours=1) if sanded else None,
    )


def a_stay(kind: str, *, days_ago: float = 90.0) -> Stay:
    """A stay at the station of a kind."""
    station = StationKind(kind)
    zone = YARD if station is StationKind.YARD else INDOORS
    return Stay(station=number_of(station), place=1, zone=zone, since=NOW - timedelta(days=days_ago))


DRY_WOOD = (MoistureReading(at=NOW, moisture_pct=10.0),)


def a_work(
    *,
    coats: Iterable[Coat] = (),
    at: str | None = None,
    stays: tuple[Stay, ...] = (),
    finished: Iterable[str] = (),
    started: Iterable[str] = (),
    records: Mapping[str, StageRecord] | None = None,
    old: Mapping[Surface, Condition] | None = None,
    route: Route | None = None,
    world: World | None = None,
    choices: Mapping[str, str] = CHOICES,
    **facts: Any,
) -> Work:
    """A hull in the shop.

    Parameters
    ----------
    coats : iterable of Coat
        From the wood outward.
    at : str
        The kind of station where it has stood all the time; ``stays`` says more.
    finished, started : iterable of str
        Keys of stages; ``records`` says more.
    old : mapping of Surface to Condition
        Old finish that it still carries.
    facts
        Other fields of the state.
    """
    stacks: dict[Surface, tuple[Coat, ...]] = {}
    for coat in coats:
        stacks[coat.surface] = (*stacks.get(coat.surface, ()), coat)
    long_ago = NOW - timedelta(days=100)
    stages = {key: StageRecord(started_at=long_ago) for key in started}
    stages |= {key: StageRecord(started_at=long_ago, finished_at=long_ago) for key in finished}
    state = HullState(
        arrived_at=NOW - timedelta(days=120),
        stages=stages | dict(records or {}),
        stacks=stacks,
        stays=stays or ((a_stay(at),) if at else ()),
        old_finish=old or {},
        **{"moisture": DRY_WOOD, **facts},
    )
    return Work(tag="H-1", route=route or the_route(), state=state, world=world or a_world(), choices=choices)


def asking_to_coat(
    kind: str, *, on: str = "", at: datetime = NOW, zone: int = INDOORS, of: StageSpec | None = None
) -> Ask:
    """May a coat of the usual product of a kind go on?"""
    surface = Surface(on) if on else ON.get(ProductKind(kind), Surface.SKIN)
    return Ask(action=Action.COAT, at=at, stage=of, product=product(kind), surface=surface, zone=zone)


def asking_to_sand(surface: str, *, wet: bool = False, at: datetime = NOW) -> Ask:
    """May a surface be sanded?"""
    return Ask(action=Action.SAND, at=at, surface=Surface(surface), wet_method=wet)


def asking_to_start(spec: StageSpec, *, wet: bool = False, at: datetime = NOW) -> Ask:
    """May a stage be started?"""
    return Ask(action=Action.START, at=at, stage=spec, wet_method=wet)


def asking_to_finish(spec: StageSpec, *, at: datetime = NOW) -> Ask:
    """May a stage be finished?"""
    return Ask(action=Action.FINISH, at=at, stage=spec)


def asking_to_move(kind: str, *, world: World | None = None, at: datetime = NOW) -> Ask:
    """May the hull be moved to the station of a kind?"""
    station = (world or a_world()).stations[number_of(StationKind(kind))]
    return Ask(action=Action.MOVE, at=at, station=station)


def refusals(work: Work, ask: Ask) -> dict[str, Finding]:
    """What refuses, by rule."""
    return {finding.rule: finding for finding in judge(work, ask) if finding.refuses}


def later(hours: float) -> datetime:
    """So many hours after now."""
    return NOW + timedelta(hours=hours)


def a_line(number: int, kind: str, hours: float = 0.0, stage: str = "", **details: Any) -> LogEntry:
    """A line of a log, so many hours after now."""
    return LogEntry(id=number, kind=EntryKind(kind), at=later(hours), stage=stage, by=1, details=details)


def with_gates(spec: StageSpec, *gates: Gate) -> StageSpec:
    """The same stage with other gates."""
    return replace(spec, gates=frozenset(gates))
