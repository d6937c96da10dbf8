"""The shop around a hull: stations and their free places, the air of each zone, the days without rain."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, tzinfo

from stages.engine.airlog import AirLog
from stages.engine.products import Product
from stages.engine.stores import Stock
from stages.engine.vocab import ProductKind, StationKind
from stages.engine.wood import WoodLimits

USUAL_WOOD = WoodLimits()


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A station with places in a zone; ``taken`` holds the numbers (from 1) of the places that are not free."""

    id: int
    name: str
    kind: StationKind
    zone: int
    outdoors: bool = False
    places: int = 1
    taken: frozenset[int] = frozenset()

    @property
    def free(self) -> tuple[int, ...]:
        """Numbers of the free places."""
        return tuple(n for n in range(1, self.places + 1) if n not in self.taken)


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """What is the same for every hull of the shop at one moment.

    Parameters
    ----------
    stations : mapping of int to Station
        By number.
    products : mapping of int to Product
        By number; inactive ones too, since old coats name them.
    usual : mapping of ProductKind to int
        The product that the shop takes unless somebody picks another.
    air : mapping of int to AirLog
        By zone.
    outdoors : frozenset of int
        Zones that are outdoors.
    dry_days : mapping of int to frozenset of date
        By outdoor zone, the days on record as free of rain.
    stores : mapping of int to Stock
        By product, what the stores hold; not there is what the shop does not count, or what never came in.
    wood : WoodLimits
        The shop's limits for the moisture of wood.
    estimates_first : bool
        Work on every hull waits for its approved estimate, also before one was sent.
    owing : mapping of int to bool
        By hull, whether its owner still has to pay; hulls where nothing was agreed or billed are not in it.
    zone_info : tzinfo
        The shop's time zone: days begin at its midnight.
    """

    stations: Mapping[int, Station] = field(default_factory=dict)
    products: Mapping[int, Product] = field(default_factory=dict)
    usual: Mapping[ProductKind, int] = field(default_factory=dict)
    air: Mapping[int, AirLog] = field(default_factory=dict)
    outdoors: frozenset[int] = frozenset()
    dry_days: Mapping[int, frozenset[date]] = field(default_factory=dict)
    stores: Mapping[int, Stock] = field(default_factory=dict)
    wood: WoodLimits = USUAL_WOOD
    estimates_first: bool = False
    owing: Mapping[int, bool] = field(default_factory=dict)
    zone_info: tzinfo = UTC

    def of_kind(self, kind: StationKind) -> Iterable[Station]:
        """Stations of a kind, in the shop's order."""
        return (station for station in self.stations.values() if station.kind is kind)

    def usual_product(self, kind: ProductKind | None) -> Product | None:
        """The shop's usual product of a kind."""
        number = self.usual.get(kind) if kind else None
        return self.products.get(number) if number is not None else None
