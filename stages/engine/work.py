"""One hull's work in its shop: the whole input of the engine, and the questions that the rules ask of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property

from hulls.lines import Sizes
from stages.engine import dryclock
from stages.engine.airlog import AirLog
from stages.engine.dryclock import Age, DryTime
from stages.engine.label import Dryness, Label
from stages.engine.products import Product
from stages.engine.route import Route, Scope, StageSpec
from stages.engine.state import Coat, HullState
from stages.engine.vocab import Condition, Surface
from stages.engine.world import Station, World

_NO_AIR = AirLog.of(())


@dataclass(frozen=True, kw_only=True)
class Work:
    """A hull's route, what its log adds up to, its owner's choices, and the shop around it.

    Parameters
    ----------
    tag : str
        The shop's name for the hull.
    route : Route
        The version that it started with.
    state : HullState
        The replayed log.
    world : World
        The shop at this moment.
    choices : mapping of str to str
        The owner's choices that narrow the route.
    sizes : Sizes or None
        Of the hull, from its lines; None where nothing was measured.
    owes : bool or None
        Whether its owner still has to pay; None where nothing was agreed or billed.
    """

    tag: str
    route: Route
    state: HullState
    world: World
    choices: Mapping[str, str] = field(default_factory=dict)
    sizes: Sizes | None = None
    owes: bool | None = None

    @cached_property
    def scope(self) -> Scope:
        """What narrows the route to this hull."""
        return Scope(
            counts=self.state.counts,
            conditions={s: self.state.old_finish.get(s, Condition.SOUND) for s in Surface},
            choices=self.choices,
            area_m2=self.sizes.outside_area_m2 if self.sizes else 0.0,
        )

    @cached_property
    def station(self) -> Station | None:
        """Where the hull stands."""
        stay = self.state.stay
        return self.world.stations.get(stay.station) if stay and stay.station is not None else None

    @cached_property
    def open_stages(self) -> frozenset[str]:
        """Keys of the stages that are still to be done or in hand."""
        return frozenset(spec.key for spec in self.route.stages if self.open(spec))

    def product(self, coat: Coat) -> Product:
        """What a coat is of."""
        return self.world.products[coat.product]

    def product_for(self, spec: StageSpec) -> Product | None:
        """What the next coat of a stage is of: as its last coat, else the shop's usual one of the kind."""
        top = self.state.top(spec.surface) if spec.surface else None
        if top and top.stage == spec.key and self.product(top).kind is spec.product:
            return self.product(top)
        return self.world.usual_product(spec.product)

    def label(self, coat: Coat) -> Label | None:
        """How a coat dries; the shop's own factor on its hours is the product's."""
        return self.product(coat).label

    def tried_for(self, coat: Coat) -> Dryness | None:
        """The dryness that hands try a coat for: to sand where that is done between coats; None if it needs no time."""
        label = self.label(coat)
        dryness = Dryness.SAND if self.product(coat).sand_between else Dryness.RECOAT
        return dryness if label and label.hours_to(dryness) else None

    def open(self, spec: StageSpec) -> bool:
        """Whether a stage is still to be done or in hand: in the plan, not left out, not finished."""
        record = self.state.stage(spec.key)
        return spec.when.holds(self.scope) and not record.left_out and record.finished_at is None

    def with_state(self, state: HullState) -> "Work":
        """The same work with another state of the log."""
        return replace(self, state=state)

    def dry_at(self, coat: Coat, dryness: Dryness) -> DryTime | None:
        """When a coat reaches a dryness, over the air of every zone it stood in since; None if it needs no time."""
        label = self.label(coat)
        if label is None or label.hours_to(dryness) is None:
            return None
        factor, done_h, assumed = self.product(coat).factor, 0.0, False
        for log, since, until in self._legs(coat):
            reached = dryclock.dry_at(label, log, since, dryness, factor=factor, done_h=done_h)
            if until is None or (reached.at is not None and reached.at <= until):
                break
            leg = dryclock.age(label, log, since, until)
            done_h, assumed = done_h + leg.hours, assumed or leg.assumed_h > 0
        return replace(reached, assumed=True) if assumed else reached

    def is_dry(self, coat: Coat, dryness: Dryness, at: datetime) -> bool:
        """Whether a coat has reached a dryness."""
        reached = self.dry_at(coat, dryness)
        return reached is None or (reached.at is not None and reached.at <= at)

    def share(self, coat: Coat, dryness: Dryness, now: datetime) -> float:
        """Share of a coat's way to a dryness that is behind it, 0 to 1."""
        label = self.label(coat)
        needed_h = label.hours_to(dryness) if label else None
        return min(1.0, self.age(coat, now).hours / needed_h) if needed_h else 1.0

    def age(self, coat: Coat, at: datetime) -> Age:
        """The equivalent age of a coat over the air of every zone it stood in, by the shop's own factor."""
        label = self.label(coat)
        if label is None:
            return Age(hours=0.0, assumed_h=0.0)
        factor = self.product(coat).factor
        legs = [
            dryclock.age(label, log, since, min(until or at, at), factor)
            for log, since, until in self._legs(coat)
            if since < at
        ]
        return Age(hours=sum(leg.hours for leg in legs), assumed_h=sum(leg.assumed_h for leg in legs))

    def window_closed_at(self, coat: Coat) -> datetime | None:
        """When a coat's recoat window closes; None where it has none."""
        label = self.label(coat)
        if label is None or label.window_h is None:
            return None
        done_h = 0.0
        for log, since, until in self._legs(coat):
            closes = dryclock.window_closes_at(label, log, since, done_h=done_h)
            if until is None or (closes is not None and closes <= until):
                break
            done_h += dryclock.age(label, log, since, until).hours
        return closes

    def stood_in(self, coat: Coat) -> list[tuple[int, datetime]]:
        """The zones that a coat has stood in since it went on, each with the moment from which on."""
        # A move of the same minute came after the coat, or leads to where the coat went on.
        moves = [(s.zone, s.since) for s in self.state.stays if s.since >= coat.at and s.zone is not None]
        return [(coat.zone, coat.at), *moves]

    def _legs(self, coat: Coat) -> list[tuple[AirLog, datetime, datetime | None]]:
        """The air that a coat has dried in: log, since, until (None: still there)."""
        stood = self.stood_in(coat)
        ends = [*(since for _, since in stood[1:]), None]
        return [
            (self.world.air.get(zone, _NO_AIR), since, until) for (zone, since), until in zip(stood, ends, strict=True)
        ]
