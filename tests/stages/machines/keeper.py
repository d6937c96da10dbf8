"""Somebody who keeps the stores while coats go on and are struck: the state machine of what the lots hold."""

from datetime import timedelta
from decimal import Decimal
from typing import Any, ClassVar
from uuid import uuid4

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from shop.models import Lot, OrderLine, Pack
from shop.services import stores
from stages.audit import of_hull
from stages.audit_stores import of_lots
from stages.engine.errors import EngineError
from stages.models import Entry, HullWork
from stages.services import bench, notes
from stages.services.orders import Hand
from tests.stages.machines.shop import Yard

CAN = Decimal("0.500")
amounts = st.integers(-1, 700).map(lambda thousandths: Decimal(thousandths) / 1000)
which = st.integers(0, 9)


class Keeper(RuleBasedStateMachine):
    """Everything that can happen to the stores; ``lots`` is what an honest clerk would have written on a slate."""

    yard: ClassVar[Yard]

    def __init__(self) -> None:
        super().__init__()
        self.example = transaction.atomic()
        self.example.__enter__()
        self.now = self.yard.since + timedelta(days=10)
        self.hull, _other = self.yard.hulls()
        self.primer = next(row for row in self.yard.products.values() if row.kind == "primer" and row.usual)
        self.pack = Pack.objects.create(product=self.primer, called="half a litre", amount=CAN)
        self.lots: dict[int, Decimal] = {}
        self.drawn: dict[int, dict[int, Decimal]] = {}  # by line of the log: what it took of which lot
        self.settled: dict[int, int] = {}  # by lot: how many lines had been written when somebody settled what it holds
        self.to_come: dict[int, int] = {}
        self.put_on("finishing", "prime")

    def teardown(self) -> None:
        transaction.set_rollback(True)
        self.example.__exit__(None, None, None)

    # -- what comes in

    @rule(packs=st.integers(0, 3))
    def bring(self, packs: int) -> None:
        self.note_in(lambda who: stores.take_in(pack=self.pack, packs=packs, received_on=self.now.date(), **who), packs)

    @rule(packs=st.integers(0, 4), days=st.integers(-1, 5))
    def order(self, packs: int, days: int) -> None:
        today = self.now.date()
        try:
            line = stores.place_order(
                pack=self.pack,
                packs=packs,
                ordered_on=today,
                expected_on=today + timedelta(days=days),
                by=self.yard.crew,
                client_id=uuid4(),
            )
        except ValidationError:
            assert packs == 0 or days < 0
        else:
            self.to_come[line.pk] = packs

    @rule(number=which, packs=st.integers(0, 4))
    def receive(self, number: int, packs: int) -> None:
        if not self.to_come:
            return
        pk = sorted(self.to_come)[number % len(self.to_come)]
        order = OrderLine.objects.get(pk=pk)
        fits = 0 < packs <= self.to_come[pk]
        self.note_in(
            lambda who: stores.take_in(pack=self.pack, packs=packs, received_on=self.now.date(), order=order, **who),
            packs if fits else 0,
        )
        self.to_come[pk] -= packs if fits else 0

    @rule(number=which)
    def give_up_an_order(self, number: int) -> None:
        if self.to_come:
            pk = sorted(self.to_come)[number % len(self.to_come)]
            stores.close_order(order=OrderLine.objects.get(pk=pk), reason="no longer made", now=self.now)
            self.to_come[pk] = 0

    # -- what goes out

    @rule(number=which, amount=amounts)
    def count(self, number: int, amount: Decimal) -> None:
        lot = self.lot(number)
        if lot and self.moved(stores.count, lot, amount=amount, reason="weighed", fits=0 <= amount <= CAN):
            self.lots[lot.pk], self.settled[lot.pk] = amount, self.lines()

    @rule(number=which, amount=amounts)
    def use(self, number: int, amount: Decimal) -> None:
        lot = self.lot(number)
        if lot and self.moved(stores.use, lot, amount=amount, reason="a paddle", fits=0 < amount <= self.lots[lot.pk]):
            self.lots[lot.pk] -= amount

    @rule(number=which)
    def throw_away(self, number: int) -> None:
        lot = self.lot(number)
        if lot and self.moved(stores.throw_away, lot, reason="skinned over", fits=True):
            self.lots[lot.pk], self.settled[lot.pk] = Decimal(0), self.lines()

    @rule(number=which, shake=st.booleans())
    def handle(self, number: int, shake: bool) -> None:
        lot = self.lot(number)
        if lot:
            self.moved(stores.shake if shake else stores.open_can, lot, fits=True)

    @rule(amount=st.none() | amounts, number=st.none() | which)
    def coat(self, amount: Decimal | None, number: int | None) -> None:
        """By the shop's owner, who goes ahead whatever the rules say: the stores still give no more than they hold."""
        first = self.lot(number) if number is not None else None
        before = dict(self.lots)
        try:
            outcome = bench.apply_coat(
                hull_id=self.hull.pk,
                stage="prime",
                product=self.primer.pk,
                surface="skin",
                litres=float(amount) if amount is not None else None,
                from_lot=first.pk if first else None,
                hand=self.hand("the stores are tried"),
            )
        except EngineError:
            assert (amount is not None and amount <= 0) or (first is not None and not before[first.pk])
            return
        assert outcome.entry is not None, outcome.findings
        line = Entry.objects.get(pk=outcome.entry.pk)
        drawn = {lot: Decimal(taken) for lot, taken in line.details.get("drawn", ())}
        if "amount" in line.details:
            there = sum(before.values(), Decimal(0))
            assert sum(drawn.values(), Decimal(0)) == (min(Decimal(line.details["amount"]), there) if before else 0)
        for lot, taken in drawn.items():
            assert 0 < taken <= before[lot]
            self.lots[lot] -= taken
        if drawn:
            self.drawn[line.number] = drawn

    @rule(number=which)
    def strike(self, number: int) -> None:
        if not self.drawn:
            return
        line = sorted(self.drawn)[number % len(self.drawn)]
        hand = self.hand("")
        outcome = notes.strike_entry(hull_id=self.hull.pk, number=line, reason="wrong boat", hand=hand)
        if outcome.done:
            for lot, taken in self.drawn.pop(line).items():
                if self.settled.get(lot, 0) < line:
                    self.lots[lot] += taken

    # -- what must hold after every step

    @invariant()
    def the_lots_hold_what_came_in_less_what_went_out(self) -> None:
        held = dict(Lot.objects.filter(product=self.primer).values_list("pk", "holds"))
        assert held == self.lots
        assert all(amount >= 0 for amount in held.values())

    @invariant()
    def the_audit_finds_nothing(self) -> None:
        row = HullWork.objects.select_related("hull", "route").get(pk=self.hull.pk)
        assert [str(difference) for difference in (*of_lots(), *of_hull(row))] == []

    # -- how it is done

    def put_on(self, kind: str, stage: str) -> None:
        to = next(station.pk for station in self.yard.stations if station.kind == kind)
        assert notes.move_hull(hull_id=self.hull.pk, station=to, hand=self.hand("")).done
        started = bench.start_stage(hull_id=self.hull.pk, stage=stage, hand=self.hand("the stores are tried"))
        assert started.done, started.findings

    def hand(self, override: str) -> Hand:
        self.now = min(self.now + timedelta(minutes=7), timezone.now())
        by = self.yard.owner
        return Hand(by=by, at=self.now, client_id=uuid4(), override=override, recorded_at=self.now)

    def lines(self) -> int:
        return HullWork.objects.get(pk=self.hull.pk).lines

    def lot(self, number: int) -> Lot | None:
        numbers = sorted(self.lots)
        return Lot.objects.get(pk=numbers[number % len(numbers)]) if numbers else None

    def who(self) -> dict[str, Any]:
        return {"by": self.yard.crew, "client_id": uuid4(), "now": self.now}

    def note_in(self, bring: Any, packs: int) -> None:
        who = self.who()
        try:
            lots = bring(who)
        except ValidationError:
            assert packs == 0
            return
        assert len(lots) == packs
        self.lots |= {lot.pk: CAN for lot in lots}
        assert [lot.pk for lot in bring(who)] == [lots[0].pk], "sent twice, it came in twice"

    def moved(self, do: Any, lot: Lot, *, fits: bool, **told: Any) -> bool:
        who = self.who()
        try:
            do(lot=lot, **told, **who)
        except ValidationError:
            assert not fits
            return False
        assert fits
        do(lot=lot, **told, **who)  # the phone got no answer, and sends it again
        return True
