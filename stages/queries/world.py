"""The shop around the hulls, as the engine reads it. Set-up and air are kept as long as their stamps stand."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

from django.db.models import Prefetch

from hulls.materials import material_of
from hulls.takeoff import Material, TakeOffError
from shop.models import COATINGS, Pulse, Shop, Station, Zone
from shop.models import Pack as PackRow
from shop.models import Product as ProductRow
from stages.engine.label import Dryness, Family, Label
from stages.engine.learning import ShopFactor
from stages.engine.paintair import AirLimits
from stages.engine.products import Product
from stages.engine.vocab import ProductKind, StationKind
from stages.engine.wood import WoodLimits
from stages.engine.world import Station as Place
from stages.engine.world import World
from stages.models import HullWork
from stages.queries.ahead import KeptAhead
from stages.queries.airs import KeptAir, fresh_airs
from stages.queries.balances import owing
from stages.queries.coverage import usage_factors
from stages.queries.learnt import shop_factors
from stages.queries.stock import fresh_stock, kept_stock

_HOURS = {
    Dryness.TACK_FREE: "tack_free_h",
    Dryness.SAND: "sand_h",
    Dryness.RECOAT: "recoat_h",
    Dryness.TOPCOAT: "topcoat_h",
    Dryness.HANDLE: "handle_h",
}
_kept_air = KeptAir()
_kept_ahead = KeptAhead()


@dataclass(frozen=True, slots=True)
class SetUp:
    """The shop's rows that change seldom, what it has learnt of its products, and the engine's world made of them.

    Products are the coatings alone, which the engine knows. The world is without air and taken places.
    """

    shop: Shop
    zones: dict[int, Zone]
    stations: dict[int, Station]
    products: dict[int, ProductRow]
    learnt: dict[int, ShopFactor]
    usage: dict[int, ShopFactor]
    world: World


@dataclass(frozen=True, slots=True)
class Around:
    """The shop at this moment: set-up, world, and the stamps that it was read under."""

    pulse: Pulse
    setup: SetUp
    world: World


def around(*, pulse: Pulse | None = None, taken: dict[int, frozenset[int]] | None = None) -> Around:
    """The shop as it stands now.

    Parameters
    ----------
    pulse : Pulse, optional
        The stamps, where a request has read them already.
    taken : mapping of int to frozenset of int, optional
        By station, the places where hulls stand; read from the database when it is not given, once after each write.
    """
    pulse = pulse or Pulse.now()
    if not pulse.pk or taken is not None:
        return _read(pulse, taken_places() if taken is None else taken)
    return _kept_around.under(pulse)


@dataclass(slots=True)
class KeptAround:
    """What was read last; it serves until the next write, whoever writes."""

    _last: Around | None = None

    def under(self, pulse: Pulse) -> Around:
        """Give the shop under these stamps."""
        held = self._last
        if held is None or held.pulse.beat != pulse.beat:
            self._last = held = _read(pulse, taken_places())
        return held


_kept_around = KeptAround()


def _read(pulse: Pulse, taken: dict[int, frozenset[int]]) -> Around:
    setup = setup_at(pulse)
    airs = _kept_air.under(pulse) if pulse.pk else fresh_airs()
    seated_world = seated(setup.world, taken)
    air = _kept_ahead.of(airs.logs, setup.zones, setup.world.zone_info)
    stores = kept_stock(pulse.stores) if pulse.pk else fresh_stock()
    return Around(pulse, setup, replace(seated_world, air=air, dry_days=airs.dry_days, stores=stores))


def setup_at(pulse: Pulse) -> SetUp:
    """The shop's set-up alone, without a query where it was read under these stamps before."""
    return _kept_setup(pulse.setup) if pulse.pk else _setup()


def seated(world: World, taken: dict[int, frozenset[int]]) -> World:
    """A world with its taken places filled in."""
    stations = {k: replace(s, taken=taken.get(k, frozenset())) for k, s in world.stations.items()}
    return replace(world, stations=stations)


def taken_places() -> dict[int, frozenset[int]]:
    """By station, the places where hulls stand."""
    rows = HullWork.objects.filter(station__isnull=False).values_list("station_id", "place")
    return seats(rows)


def seats(rows: Iterable[tuple[int | None, int | None]]) -> dict[int, frozenset[int]]:
    """Pairs of station and place gathered by station."""
    taken: dict[int, set[int]] = {}
    for station, place in rows:
        if station is not None and place is not None:
            taken.setdefault(station, set()).add(place)
    return {station: frozenset(places) for station, places in taken.items()}


@lru_cache(maxsize=2)
def _kept_setup(stamp: str) -> SetUp:
    return _setup()


def _setup() -> SetUp:
    shop = Shop.the_one()
    stations = {row.pk: row for row in Station.objects.select_related("zone")}
    zones = {row.zone_id: row.zone for row in stations.values()}
    sold = Prefetch("packs", queryset=PackRow.objects.filter(active=True))
    products = {row.pk: row for row in ProductRow.objects.filter(kind__in=COATINGS).prefetch_related(sold)}
    learnt = shop_factors({pk: _label(row) for pk, row in products.items()})
    usage = usage_factors()
    world = World(
        stations={pk: _place(row) for pk, row in stations.items()},
        products={
            pk: engine_product(row, learnt.get(pk), usage.get(pk), packs=row.packs.all())
            for pk, row in products.items()
        },
        usual={ProductKind(row.kind): pk for pk, row in products.items() if row.usual},
        outdoors=frozenset(pk for pk, zone in zones.items() if zone.outdoors),
        wood=WoodLimits(
            oil_pct=shop.wood_oil_pct,
            varnish_pct=shop.wood_varnish_pct,
            glue_pct=shop.wood_glue_pct,
            canvas_pct=shop.wood_canvas_pct,
        ),
        estimates_first=shop.estimates_first,
        owing=owing(),
        zone_info=shop.zone_info,
    )
    return SetUp(shop, zones, stations, products, learnt, usage, world)


def _place(row: Station) -> Place:
    return Place(
        id=row.pk,
        name=row.name,
        kind=StationKind(row.kind),
        zone=row.zone_id,
        outdoors=row.zone.outdoors,
        places=row.places,
    )


def engine_product(
    row: ProductRow,
    learnt: ShopFactor | None = None,
    usage: ShopFactor | None = None,
    *,
    packs: Iterable[PackRow] = (),
) -> Product:
    """A product as the engine reads it, by its label alone or with what the shop has learnt of it."""
    return Product(
        id=row.pk,
        name=row.name,
        kind=ProductKind(row.kind),
        label=_label(row),
        oil_based=row.oil_based,
        sand_between=row.sand_between,
        smoothed_wet=row.smoothed_wet,
        uv_protecting=row.uv_protecting,
        self_heating=row.self_heating,
        dry_days_outdoors=row.dry_days_outdoors,
        colour=row.colour,
        factor=learnt.factor if learnt else 1.0,
        unit=row.unit,
        counted=row.counted,
        material=_material(row, packs),
        usage=usage.factor if usage else 1.0,
        air=AirLimits(lowest_c=row.lowest_c, highest_c=row.highest_c, most_rh_pct=row.most_rh_pct),
    )


def _material(row: ProductRow, packs: Iterable[PackRow]) -> Material | None:
    try:
        return material_of(row, packs)
    except TakeOffError:
        return None


def _label(row: ProductRow) -> Label | None:
    hours = {dryness: value for dryness, name in _HOURS.items() if (value := getattr(row, name))}
    if not row.family or not hours:
        return None
    return Label(
        family=Family(row.family),
        hours=hours,
        reference_c=row.reference_c,
        reference_rh_pct=row.reference_rh_pct,
        # A water-based film answers to temperature by the vapour-pressure deficit; a Q10 on top would count it twice.
        q10=None if row.family == Family.WATER else row.q10,
        activation_kj_mol=row.activation_kj_mol,
        table=tuple((celsius, hours) for celsius, hours in row.label_table),
        lowest_c=row.lowest_c,
        window_h=row.window_h or None,
        film_factor=row.film_factor,
    )
