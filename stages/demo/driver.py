"""Lets the demo shop live through its weeks: each hull takes the next step that the engine allows, in shop hours."""

import heapq
import itertools
import math
import random
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from hulls.models import Hull
from shop.models import CrewMember
from stages.demo.cast import Boat
from stages.demo.eyes import Eyes
from stages.demo.homegoing import go_home
from stages.demo.hours import after_work, next_open
from stages.demo.money import say_yes, send_the_estimate
from stages.demo.payments import Till
from stages.demo.stores import restock
from stages.engine.assess import StageStatus, assess, headline
from stages.engine.vocab import Action, Gate
from stages.engine.work import Work
from stages.models import StageState
from stages.services import bench, notes
from stages.services.orders import Guest, Hand, Outcome

ARRIVED_BEFORE = timedelta(minutes=30)
LOOK_AGAIN = timedelta(hours=4)
SOON, MEASURE_AGAIN = timedelta(minutes=30), timedelta(hours=20)
DRIEST_LIMIT_PCT = 12.0  # before glue
DRY_PCT, WET_PCT, DRIES_DAYS = 9.3, 14.0, 1.6  # how the demo's wood dries after the wash
TOLD = 0.67
COAT_H, SAND_H, SMALL_H = 1.0, 1.5, 0.25


@dataclass(slots=True)
class Driver:
    """The shop's weeks: a queue of boats by when hands are next at them; ``arrive`` takes one in when its day comes."""

    crew: list[CrewMember]
    now: datetime
    tz: ZoneInfo
    arrive: Callable[["Driver", Boat, datetime], Hull]
    hulls: dict[str, Hull] = field(default_factory=dict)
    dice: random.Random = field(default_factory=lambda: random.Random(11))
    till: Till = field(default_factory=Till)
    eyes: Eyes = field(default_factory=Eyes)
    _queue: list[tuple[datetime, int, Boat]] = field(default_factory=list)
    _order: Iterator[int] = field(default_factory=itertools.count)

    def hand(self, at: datetime) -> Hand:
        """One of the crew, at a moment of the past."""
        return Hand(by=self.dice.choice(self.crew), at=at, client_id=self._uuid(), recorded_at=at)

    def _uuid(self) -> UUID:
        return UUID(int=self.dice.getrandbits(128), version=4)

    def take_on(self, boat: Boat, at: datetime) -> None:
        """Put a boat into the queue."""
        heapq.heappush(self._queue, (next_open(at, self.tz), next(self._order), boat))

    def run(self) -> None:
        """Work through the queue until now."""
        while self._queue:
            at, _, boat = heapq.heappop(self._queue)
            if boat.tag not in self.hulls:
                at = min(at, self.now - ARRIVED_BEFORE)
                self.hulls[boat.tag] = self.arrive(self, boat, at)
                again: datetime | None = at + ARRIVED_BEFORE
            else:
                again = self._work_at(self.hulls[boat.tag], boat, at) if at < self.now else None
            if again is not None:
                self.take_on(boat, again)

    def _work_at(self, hull: Hull, boat: Boat, at: datetime) -> datetime | None:
        work = self.eyes.look(hull)
        head = headline(assess(work, at))
        if head is None or (head.spec.key == boat.holds_at and head.next is not Action.MOVE):
            return None
        if any(finding.rule == "wood" for finding in head.findings):
            return self._measure(hull, at)
        if any(finding.rule == "approved" for finding in head.findings):
            return self._agree(hull, at)
        if any(finding.rule == "stores" and finding.refuses for finding in head.findings):
            return self._buy(work, head, at)
        if any(finding.rule == "paid" for finding in head.findings):
            return self.till.settle(hull, at, self.now)
        if not head.hands:
            return max(at + timedelta(minutes=20), min(head.earliest or at + LOOK_AGAIN, at + timedelta(days=1)))
        hours = self._hours(head)
        done_at = after_work(at, hours, self.tz)
        if done_at > self.now:
            return None
        outcome = self.step(work, hull, boat, head, done_at if head.next is not Action.START else at)
        self.eyes.follow(hull, outcome)
        return done_at if outcome.done else at + LOOK_AGAIN

    def _measure(self, hull: Hull, at: datetime) -> datetime:
        washed = StageState.objects.filter(work=hull.pk, stage="wash").values_list("finished_at", flat=True).first()
        days = (at - washed).total_seconds() / 86_400 if washed else 0.0
        moisture_pct = round(DRY_PCT + WET_PCT * math.exp(-days / DRIES_DAYS) + self.dice.gauss(0, 0.2), 1)
        hand, spot = self.hand(at), "planking amidships"
        self.eyes.follow(hull, notes.record_moisture(hull_id=hull.pk, moisture_pct=moisture_pct, spot=spot, hand=hand))
        return at + (SOON if moisture_pct <= DRIEST_LIMIT_PCT else MEASURE_AGAIN)

    def _buy(self, work: Work, head: StageStatus, at: datetime) -> datetime:
        """What a step lacks was ordered in time, and came in a few days before."""
        product = work.product_for(head.spec)
        assert product is not None
        restock(work, product, head.spec, self.hand(at), f"L{self.dice.randrange(100, 999)}")
        return at + SOON

    def _agree(self, hull: Hull, at: datetime) -> datetime | None:
        """Work the estimate out and send it; most owners have thought it over by the next day."""
        self.eyes.blink(hull)
        sent = send_the_estimate(hull, self.hand(at), at)
        thought_over = next_open(at + timedelta(hours=self.dice.uniform(3, 26)), self.tz)
        if thought_over >= self.now:
            return None
        say_yes(sent, Guest(at=thought_over, client_id=self._uuid(), recorded_at=thought_over))
        self.till.take_deposit(hull, thought_over)
        return thought_over

    def stock_up(self, boats: Iterable[Boat]) -> None:
        """What a boat lacks at the step that it was brought to has just come in."""
        for boat in boats:
            work = self.eyes.look(self.hulls[boat.tag])
            head = headline(assess(work, self.now))
            held = head is not None and head.spec.key == boat.holds_at
            if head is not None and held and any(f.rule == "stores" and f.refuses for f in head.findings):
                self._buy(work, head, self.now - SOON)

    def _hours(self, head: StageStatus) -> float:
        match head.next:
            case Action.COAT:
                return COAT_H
            case Action.SAND:
                return SAND_H
            case Action.FINISH:
                return SMALL_H if head.spec.coats else max(SMALL_H, head.hours)
        return SMALL_H

    def step(self, work: Work, hull: Hull, boat: Boat, head: StageStatus, at: datetime) -> Outcome:
        """Do what hands do next on a stage."""
        key, spec, hand = head.spec.key, head.spec, self.hand(at)
        wet = boat.lead and Gate.LEAD in spec.gates
        match head.next:
            case Action.MOVE:
                assert head.move_to is not None
                return notes.move_hull(hull_id=hull.pk, station=head.move_to.id, hand=hand)
            case Action.START:
                return bench.start_stage(hull_id=hull.pk, stage=key, hand=hand, wet_method=wet)
            case Action.COAT:
                product = work.world.usual_product(spec.product)
                assert product is not None
                assert spec.surface is not None
                restock(work, product, spec, hand, f"L{self.dice.randrange(100, 999)}")
                return bench.apply_coat(hull_id=hull.pk, stage=key, product=product.id, surface=spec.surface, hand=hand)
            case Action.SAND:
                assert spec.surface is not None
                return bench.sand(
                    hull_id=hull.pk, stage=key, surface=spec.surface, grit=220, hand=hand, wet_method=boat.lead
                )
            case Action.RAGS:
                return bench.deal_with_rags(hull_id=hull.pk, stage=key, hand=hand, how="in the lidded can, under water")
        took = self._took(head)
        if Gate.HAND_OVER in spec.gates:
            return go_home(hull, hand, took)
        return bench.finish_stage(hull_id=hull.pk, stage=key, hand=hand, hours=took)

    def _took(self, head: StageStatus) -> float | None:
        """Hours that somebody wrote down, of two steps in three: this shop is a little slower than its route says."""
        if not head.hours or self.dice.random() > TOLD:
            return None
        return max(0.5, round(2 * head.hours * math.exp(self.dice.gauss(0.1, 0.25))) / 2)
