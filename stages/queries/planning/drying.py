"""How long coats take to dry, slots: those that lie on hulls by their dry clock, those to come by the air ahead."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from stages.engine import dryclock
from stages.engine.label import Dryness
from stages.engine.products import Product
from stages.engine.state import Coat
from stages.engine.vocab import StationKind
from stages.engine.work import Work
from stages.engine.world import World
from stages.queries.planning.grid import Grid, slots_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Drying:
    """The air ahead in the zone of each kind of station, and what was reckoned of it before."""

    world: World
    grid: Grid
    now: datetime
    _known: dict[tuple[int, Dryness | None, int | None], int] = field(default_factory=dict)

    def zone_of(self, kind: StationKind | None) -> int | None:
        """The zone in which coats of a kind of station dry: the first one's."""
        return next((station.zone for station in self.world.of_kind(kind)), None) if kind else None

    def slots(self, product: Product, dryness: Dryness, kind: StationKind | None) -> int:
        """What a coat that goes on now takes to a dryness at a kind of station; in air in which it stands still, what
        the label says, since somebody warms the room by then."""
        return self._slots(product, dryness, self.zone_of(kind))

    def window(self, product: Product, kind: StationKind | None) -> int | None:
        """After how many slots the recoat window of such a coat closes; None where it has none."""
        if product.label is None or product.label.window_h is None:
            return None
        return self._slots(product, None, self.zone_of(kind))

    def since(self, work: Work, coat: Coat, dryness: Dryness) -> int:
        """From when a coat that lies on a hull has reached a dryness; zero or below where it has."""
        reached = work.dry_at(coat, dryness)
        if reached is None:
            return self.grid.before(coat.at)
        if reached.at is not None:
            return self.grid.after(reached.at)
        needed_h = (reached.needed_h or 0.0) * work.product(coat).factor
        left_h = max(0.0, needed_h - work.age(coat, self.now).hours * work.product(coat).factor)
        return slots_of(left_h)

    def closes(self, work: Work, coat: Coat) -> int | None:
        """When the recoat window of a coat that lies on a hull closes; None where it has none."""
        at = work.window_closed_at(coat)
        return self.grid.before(at) if at else None

    def _slots(self, product: Product, dryness: Dryness | None, zone: int | None) -> int:
        key = (product.id, dryness, zone)
        if key not in self._known:
            self._known[key] = slots_of(self._hours(product, dryness, zone))
        return self._known[key]

    def _hours(self, product: Product, dryness: Dryness | None, zone: int | None) -> float:
        label = product.label
        if label is None:
            return 0.0
        by_label_h = label.window_h if dryness is None else label.hours_to(dryness)
        if by_label_h is None:
            return 0.0
        log = self.world.air.get(zone) if zone is not None else None
        if log is None:
            return by_label_h * (1.0 if dryness is None else product.factor)
        if dryness is None:
            at = dryclock.window_closes_at(label, log, self.now)
        else:
            at = dryclock.dry_at(label, log, self.now, dryness, product.factor).at
        return (at - self.now) / timedelta(hours=1) if at else by_label_h * product.factor
