"""What a boat really took: hours told at the finish of its steps, and what its log drew from the stores."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import chain

from django.db.models import OuterRef, QuerySet, Subquery, Sum
from django.utils.translation import gettext as _

from hulls.charging import figure
from hulls.estimate import Because, LineKind, Used
from shop.models import Lot, Move, Movement
from stages.engine.log import EntryKind, LogEntry, in_force
from stages.engine.route import Route
from stages.engine.work import Work
from stages.models import Entry, StageState
from stages.queries.estimate_hours import in_hours
from stages.queries.work import log_of

THOUSANDTH = Decimal("0.001")


def used_on(hull_id: int, work: Work) -> tuple[Used, ...]:
    """Everything that is on record of a hull, in three queries."""
    log = in_force(log_of(hull_id))
    return (*hours_told(work.route, log), *drawn(hull_id, [line.id for line in log if line.details.get("drawn")]))


def hours_told(route: Route, log: Iterable[LogEntry]) -> Iterator[Used]:
    """The hours of each stage, with the lines in force that tell them."""
    told: dict[str, list[LogEntry]] = defaultdict(list)
    for entry in log:
        if entry.kind is EntryKind.FINISHED and entry.details.get("hours"):
            told[entry.stage].append(entry)
    for spec in route.stages:
        if lines := told.get(spec.key):
            hours = [Decimal(str(entry.details["hours"])) for entry in lines]
            yield Used(
                kind=LineKind.HOURS,
                key=spec.key,
                words=spec.name,
                amount=sum(hours, Decimal(0)),
                unit="h",
                because=tuple(
                    Because(what=_("Told at the finish, line %(n)s of the log") % {"n": entry.id}, value=in_hours(part))
                    for entry, part in zip(lines, hours, strict=True)
                ),
            )


def drawn(hull_id: int, numbers: Iterable[int]) -> Iterator[Used]:
    """Each product that lines of a hull's log drew from the stores, at what its lots cost."""
    lines = Entry.objects.order_by().filter(hull_id=hull_id, number__in=list(numbers)).values("pk")
    moved = Movement.objects.order_by().filter(entry__in=lines, kind=Move.DRAWN)
    sums = dict(moved.values_list("lot").annotate(moved=Sum("amount")))
    lots = _with_what_came(Lot.objects.filter(pk__in=sums))
    by_product: dict[str, list[tuple[Lot, Decimal]]] = defaultdict(list)
    for lot in lots.values():
        if (amount := (-sums[lot.pk]).quantize(THOUSANDTH)) > 0:
            by_product[lot.product.name].append((lot, amount))
    for name, taken in by_product.items():
        costs = [_cost(lot, amount) for lot, amount in taken]
        known = [cost for cost in costs if cost is not None]
        yield Used(
            kind=LineKind.MATERIAL,
            key=name,
            words=name,
            amount=sum((amount for _lot, amount in taken), Decimal(0)),
            unit=taken[0][0].product.unit,
            cost=sum(known, Decimal(0)) if len(known) == len(costs) else None,
            because=tuple(chain.from_iterable(map(_because, taken, costs))),
        )


def _cost(lot: Lot, amount: Decimal) -> Decimal | None:
    """What an amount of a lot cost the shop; None where nobody wrote down what the lot cost."""
    came: Decimal | None = getattr(lot, "came", None)
    if lot.cost is None or not came or came <= 0:
        return None
    return lot.cost * amount / came


def _because(taken: tuple[Lot, Decimal], cost: Decimal | None) -> tuple[Because, Because]:
    lot, amount = taken
    known = figure(cost, 4) if cost is not None else _("not on record")
    return (
        Because(what=_("From lot %(lot)s") % {"lot": lot}, value=f"{figure(amount)} {lot.product.unit}"),
        Because(what=_("Cost of lot %(lot)s") % {"lot": lot}, value=known, ours=True),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What a boat took in all: hours, h, materials at cost, and whether some of them have no cost on record."""

    hours: Decimal = Decimal(0)
    materials: Decimal = Decimal(0)
    unknown: bool = False


def costs_of(hulls: Iterable[int]) -> dict[int, Cost]:
    """What each of many hulls took, in four queries for all of them."""
    hulls = list(hulls)
    told = StageState.objects.order_by().filter(work__in=hulls).values_list("work").annotate(told=Sum("hours"))
    hours = {hull: Decimal(str(round(sum_h or 0.0, 2))) for hull, sum_h in told}
    rows = Entry.objects.order_by().filter(hull_id__in=hulls, kind__in=(EntryKind.COAT, EntryKind.STRIKE))
    lines = list(rows.values_list("pk", "hull_id", "number", "kind", "details"))
    struck = {(hull, details["entry"]) for _pk, hull, _n, kind, details in lines if kind == EntryKind.STRIKE}
    whose = {pk: hull for pk, hull, n, kind, _details in lines if kind == EntryKind.COAT and (hull, n) not in struck}
    moved = Movement.objects.filter(entry__in=list(whose), kind=Move.DRAWN).values_list("entry", "lot", "amount")
    lots = _with_what_came(Lot.objects.filter(movements__entry__in=list(whose)))
    sums = {hull: Cost(hours=hours.get(hull, Decimal(0))) for hull in hulls}
    for entry, lot, amount in moved:
        assert entry is not None
        cost, hull = _cost(lots[lot], -amount), whose[entry]
        held = sums[hull]
        sums[hull] = replace(held, materials=held.materials + (cost or 0), unknown=held.unknown or cost is None)
    return sums


def _with_what_came(lots: QuerySet[Lot]) -> dict[int, Lot]:
    """Lots with the amount that came in with each."""
    came = Movement.objects.order_by().filter(lot=OuterRef("pk"), kind=Move.IN).values("lot").annotate(s=Sum("amount"))
    found = lots.select_related("product", "pack").annotate(came=Subquery(came.values("s"))).distinct()
    return {lot.pk: lot for lot in found.order_by("product__name", "pk")}
