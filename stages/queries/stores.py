"""What the pages of the stores show: products on the shelves with their cans, orders, and one lot's history."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from shop.models import Lot, Movement, OrderLine, Product
from shop.services.stores import IN_CANS
from shop.units import UnitSystem, format_quantity
from stages.models import Entry
from stages.queries.sheet_steps import caution_of
from stages.queries.stock import engine_can, orders_open
from stages.saying import day

LIKE_WOOD = "#c08a55"
BOTTOM, INSIDE = 24.0, 20.0  # of the drawing of a can


@dataclass(frozen=True, slots=True, kw_only=True)
class CanRow:
    """One can in words; ``wrong`` says that it is past its last day, ``stir`` that it has settled."""

    pk: int
    left: str
    about: str
    wrong: bool
    stir: bool
    fill: tuple[float, float]
    colour: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfRow:
    """One product: what is left of it in date, its cans, what is on order."""

    product: Product
    left: str
    none: bool
    cans: tuple[CanRow, ...]
    coming: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRow:
    """One order of which something is still to come."""

    line: OrderLine
    product: str
    pack: str
    to_come: int
    expected: str
    late: bool
    supplier: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelves:
    """The page of the stores."""

    rows: tuple[ShelfRow, ...]
    orders: tuple[OrderRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MovementRow:
    """One movement of a lot in words; ``tag`` and ``line`` of the hull's log that it came from, if any."""

    movement: Movement
    amount: str
    tag: str
    line: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LotPage:
    """The page of one lot."""

    lot: Lot
    can: CanRow
    left: str
    good_until: date | None
    caution: str
    movements: tuple[MovementRow, ...]


def the_shelves(*, units: UnitSystem, today: date) -> Shelves:
    """Every product that the stores keep, in four queries."""
    kept = (
        Product.objects.filter(lots__isnull=False).distinct()
        | Product.objects.filter(packs__orders__isnull=False).distinct()
    )
    orders = [_order(line, today) for line in orders_open()]
    coming: dict[int, list[str]] = defaultdict(list)
    for row in orders:
        pack = row.line.pack
        amount = format_quantity(float(pack.amount * row.to_come), pack.product.unit, units)
        words = {"amount": amount, "day": row.expected}
        coming[pack.product_id].append(_("%(amount)s, %(day)s") % words)
    cans: dict[int, list[Lot]] = defaultdict(list)
    for lot in Lot.objects.filter(holds__gt=0).select_related("product", "pack"):
        cans[lot.product_id].append(lot)
    rows = (_shelf(product, cans[product.pk], tuple(coming[product.pk]), units, today) for product in kept)
    return Shelves(rows=tuple(rows), orders=tuple(orders))


def lot_page(*, lot: Lot, units: UnitSystem, today: date) -> LotPage:
    """One lot with every movement, the latest first, in two queries."""
    movements = list(lot.movements.select_related("by").order_by("-pk"))
    lines = Entry.objects.filter(pk__in=[movement.entry for movement in movements if movement.entry])
    told = {pk: (tag, number) for pk, tag, number in lines.values_list("pk", "hull__tag", "number")}
    rows = (_movement(m, lot, units, *told.get(m.entry or 0, ("", 0))) for m in movements)
    can = _can(lot, units, today)
    return LotPage(
        lot=lot,
        can=can,
        left=can.left,
        good_until=lot.good_until(),
        caution=caution_of(lot.product.caution),
        movements=tuple(rows),
    )


def _shelf(product: Product, lots: list[Lot], coming: tuple[str, ...], units: UnitSystem, today: date) -> ShelfRow:
    rows = tuple(_can(lot, units, today) for lot in lots)
    good = sum(float(lot.holds) for lot, row in zip(lots, rows, strict=True) if not row.wrong)
    left = format_quantity(good, product.unit, units)
    return ShelfRow(product=product, left=left, none=not good, cans=rows, coming=coming)


def _can(lot: Lot, units: UnitSystem, today: date) -> CanRow:
    can = engine_can(lot)
    words = [_("open") if can.opened else _("unopened")]
    if can.good_until:
        gone = not can.in_date(today)
        words.append(
            (_("was good until %(day)s") if gone else _("good until %(day)s")) % {"day": day(can.good_until, today)}
        )
    return CanRow(
        pk=lot.pk,
        left=format_quantity(can.holds, lot.product.unit, units),
        about=", ".join([*words, *filter(None, [lot.label])]),
        wrong=not can.in_date(today),
        stir=can.settled(today),
        fill=_fill(lot),
        colour=lot.product.colour or LIKE_WOOD,
    )


def _fill(lot: Lot) -> tuple[float, float]:
    """Where what is left stands in the drawing of a can, its top and its height; a heap is drawn full."""
    share = min(1.0, float(lot.holds / lot.pack.amount)) if lot.pack and lot.product.unit in IN_CANS else 1.0
    height = round(INSIDE * share, 1)
    return round(BOTTOM - height, 1), height


def _order(line: OrderLine, today: date) -> OrderRow:
    return OrderRow(
        line=line,
        product=line.pack.product.name,
        pack=line.pack.called,
        to_come=line.to_come,
        expected=day(line.expected_on, today),
        late=line.expected_on < today,
        supplier=line.pack.supplier.name if line.pack.supplier else "",
    )


def _movement(movement: Movement, lot: Lot, units: UnitSystem, tag: str, line: int) -> MovementRow:
    size = format_quantity(abs(float(movement.amount)), lot.product.unit, units) if movement.amount else ""
    sign = "\N{MINUS SIGN}" if movement.amount < 0 else "+"
    return MovementRow(movement=movement, amount=f"{sign}{size}" if size else "", tag=tag, line=line)
