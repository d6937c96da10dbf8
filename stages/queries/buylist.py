"""The buy list: what planned work takes, less what the stores hold and what is on order, by supplier and in packs."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import groupby

from django.utils import timezone

from hulls.takeoff import Bought, Material, Need, Opened, choose_packs
from hulls.takeoff import Pack as Size
from shop.models import Pack, Product, Supplier
from stages.engine.stores import Stock
from stages.queries.covered import Late, Short, cover
from stages.queries.planned import PlannedNeed, planned_needs
from stages.queries.stock import on_order
from stages.queries.world import Around

NOBODY_DAYS = 0  # what no supplier is named for is bought over the counter


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyLine:
    """So many of one pack: by when they must be here and when they are ordered for that, for which hulls.

    ``missing`` is what the stores and the orders lack of the product, in its unit; ``here_on`` is the day on which it
    could be here, were it ordered today; ``cost`` is None without a price.
    """

    pack: Pack
    packs: int
    missing: float
    by: date
    order_by: date
    here_on: date
    hulls: tuple[str, ...]
    cost: Decimal | None

    @property
    def is_late(self) -> bool:
        """Whether it cannot be here in time any more."""
        return self.here_on > self.by


@dataclass(frozen=True, slots=True, kw_only=True)
class FromSupplier:
    """What is bought from one supplier; None where no pack names one. ``cost`` is that of the lines with a price."""

    supplier: Supplier | None
    lines: tuple[BuyLine, ...]
    cost: Decimal
    unpriced: int


@dataclass(frozen=True, slots=True, kw_only=True)
class NoPack:
    """A product that is needed and of which no pack is on record."""

    product: Product
    missing: float
    by: date
    hulls: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LateOrder:
    """What is on order and comes after the day on which hulls need it, or should have come before today."""

    product: Product
    amount: float
    expected: date
    is_overdue: bool
    by: date
    hulls: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyList:
    """All that is to be bought, as of a day and up to a day."""

    today: date
    until: date | None
    suppliers: tuple[FromSupplier, ...]
    no_pack: tuple[NoPack, ...]
    late: tuple[LateOrder, ...]

    @property
    def cost(self) -> Decimal:
        """What it costs, as far as prices are known."""
        return sum((found.cost for found in self.suppliers), Decimal(0))

    @property
    def unpriced(self) -> int:
        """Lines without a price."""
        return sum(found.unpriced for found in self.suppliers)


def buy_list(shop: Around, now: datetime, until: date | None = None) -> BuyList:
    """What must be bought for the planned work of every hull.

    Parameters
    ----------
    shop : Around
        The shop, with what the stores hold and what is on order.
    now : datetime
        The moment, aware.
    until : date, optional
        Leave out what is needed after that day.
    """
    today = timezone.localtime(now, shop.world.zone_info).date()
    needs = [need for need in planned_needs(shop, now) if until is None or need.on <= until]
    first_orders = {pk: Stock(coming=coming) for pk, coming in on_order().items()}
    stores = {**first_orders, **shop.world.stores}
    covers = {pk: cover(group, stores.get(pk), today) for pk, group in _by_product(needs).items()}
    shorts = {pk: found.short for pk, found in covers.items() if found.short}
    named = [pk for pk, found in covers.items() if found.short or found.late]
    products = Product.objects.filter(pk__in=named).prefetch_related("packs__supplier", "packs__product").in_bulk()
    packs = {pack.pk: pack for row in products.values() for pack in row.packs.all() if pack.active}
    chosen = choose_packs(
        [_need(need, products[need.product], today) for pk in shorts for need in needs if need.product == pk],
        [_material(products[pk]) for pk in shorts],
        [can for pk in shorts for can in _opened(products[pk], stores.get(pk), today)],
    )
    lines = _lines(chosen.counts, packs, shorts, today)
    bare = [pk for pk in shorts if products[pk].name in chosen.missing]
    return BuyList(
        today=today,
        until=until,
        suppliers=tuple(_by_supplier(lines)),
        no_pack=tuple(_no_pack(products[pk], shorts[pk]) for pk in bare),
        late=tuple(_late(products[pk], late, today) for pk in named for late in covers[pk].late),
    )


def _by_product(needs: Iterable[PlannedNeed]) -> Mapping[int, list[PlannedNeed]]:
    found: dict[int, list[PlannedNeed]] = defaultdict(list)
    for need in needs:
        found[need.product].append(need)
    return found


def _late(product: Product, late: Late, today: date) -> LateOrder:
    tags = tuple(sorted({need.tag for need in late.needs}))
    return LateOrder(
        product=product,
        amount=late.coming.amount,
        expected=late.coming.on,
        is_overdue=late.coming.on < today,
        by=min(need.on for need in late.needs),
        hulls=tags,
    )


def _need(need: PlannedNeed, product: Product, today: date) -> Need:
    return Need(product=product.name, amount=need.amount, day=max(0, (need.on - today).days), piece=need.piece)


def _material(product: Product) -> Material:
    sizes = (
        Size(amount=float(pack.amount), called=str(pack.pk), price=pack.price)
        for pack in product.packs.all()
        if pack.active
    )
    return Material(
        name=product.name,
        kind=product.kind,
        unit=product.unit,
        keeps_days=product.shelf_life_days,
        keeps_open_days=product.opened_life_days,
        packs=tuple(sizes),
    )


def _opened(product: Product, stock: Stock | None, today: date) -> Iterable[Opened]:
    """What is there and what is on order; that keeps as long as new cans do."""
    if stock is None:
        return
    for can in stock.pouring(today):
        until = (can.good_until - today).days if can.good_until else None
        yield Opened(product=product.name, amount=can.holds, good_until=until)
    for coming in stock.coming:
        yield Opened(product=product.name, amount=coming.amount)


def _lines(counts: Iterable[Bought], packs: dict[int, Pack], shorts: Mapping[int, Short], today: date) -> list[BuyLine]:
    by_pack: dict[int, list[Bought]] = defaultdict(list)
    for bought in counts:
        by_pack[int(bought.pack.called)].append(bought)
    return [_line(packs[pk], group, shorts[packs[pk].product_id], today) for pk, group in by_pack.items()]


def _line(pack: Pack, group: Sequence[Bought], short: Short, today: date) -> BuyLine:
    count, by = sum(bought.count for bought in group), today + timedelta(days=min(bought.day for bought in group))
    lead = pack.supplier.lead_days if pack.supplier else NOBODY_DAYS
    return BuyLine(
        pack=pack,
        packs=count,
        missing=short.missing,
        by=by,
        order_by=by - timedelta(days=lead),
        here_on=today + timedelta(days=lead),
        hulls=short.tags(by),
        cost=pack.price * count if pack.price is not None else None,
    )


def _by_supplier(lines: Iterable[BuyLine]) -> Iterable[FromSupplier]:
    def name(line: BuyLine) -> tuple[bool, str]:
        return line.pack.supplier is None, line.pack.supplier.name if line.pack.supplier else ""

    for _name, group in groupby(sorted(lines, key=lambda line: (name(line), line.by, line.pack.product.name)), name):
        found = tuple(group)
        yield FromSupplier(
            supplier=found[0].pack.supplier,
            lines=found,
            cost=sum((line.cost for line in found if line.cost is not None), Decimal(0)),
            unpriced=sum(line.cost is None for line in found),
        )


def _no_pack(product: Product, short: Short) -> NoPack:
    by = min(need.on for need in short.needs)
    return NoPack(product=product, missing=short.missing, by=by, hulls=short.tags(by))
