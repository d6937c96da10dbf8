"""The materials of an estimate: what the take-off asks for, at what the stores' packs cost."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from django.utils.translation import gettext as _

from hulls.charging import figure, money
from hulls.estimate import Because, Currency, Line, material_line
from hulls.models import Hull
from hulls.sizes import outside_area_m2
from shop.models import Pack, Product
from stages.engine.work import Work

THOUSANDTH, HUNDREDTH = Decimal("0.001"), Decimal("0.01")


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """An amount of a product, what it was reckoned from, and how far off it may be (log standard deviation)."""

    product: str
    amount: Decimal
    unit: str
    because: tuple[Because, ...] = ()
    spread: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What one unit of a product costs the shop, and where that is from."""

    cost: Decimal
    source: str


def needs_of(hull: Hull, work: Work, products: Mapping[str, Product]) -> tuple[Need, ...]:
    """What a hull's plan of work asks for of the shop's usual products, by kind."""
    area_m2 = outside_area_m2(hull)
    found: dict[str, Need] = {}
    for spec in work.route.stages:
        product = products.get(str(spec.product)) if spec.product else None
        planned = spec.when.holds(work.scope) and not work.state.stage(spec.key).left_out
        if product is None or not planned or not product.spread_m2_per_unit:
            continue
        amount = Decimal(area_m2 * spec.coats / (product.spread_m2_per_unit * (1 - product.loss_pct / 100)))
        because = Because(
            what=spec.name,
            value=f"{spec.coats} × {figure(Decimal(area_m2), 2)} m² / {product.spread_m2_per_unit:g} m²",
        )
        held = found.get(product.name)
        found[product.name] = (
            replace(held, amount=held.amount + amount, because=(*held.because, because))
            if held
            else Need(product=product.name, amount=amount, unit=product.unit, because=(because,), spread=0.15)
        )
    return tuple(found.values())


def usual_products() -> dict[str, Product]:
    """The shop's usual product of each kind."""
    return {product.kind: product for product in Product.objects.filter(usual=True, active=True)}


def prices(currency: Currency) -> dict[str, Price]:
    """By the name of the product, the cheapest unit among the packs that have a price, in one query."""
    found: dict[str, Price] = {}
    packs = Pack.objects.filter(active=True, price__isnull=False, product__active=True).select_related("product")
    for pack in packs:
        assert pack.price is not None
        cost = pack.price / pack.amount
        held = found.get(pack.product.name)
        if held is None or cost < held.cost:
            found[pack.product.name] = Price(cost=cost, source=f"{pack.called}: {money(pack.price, currency.code)}")
    return found


def material_lines(
    needs: Iterable[Need],
    currency: Currency,
    markup_pct: Decimal,
    known: Mapping[str, Price],
    typed: Mapping[str, Decimal],
) -> tuple[list[Line], list[str]]:
    """A line for every need that has a price, and the names of those that have none."""
    lines, unpriced = [], []
    for need in needs:
        price = known.get(need.product)
        if need.product in typed:
            price = Price(cost=typed[need.product], source=_("set by hand"))
        if price is None:
            unpriced.append(need.product)
            continue
        lines.append(_line(need, price, currency, markup_pct))
    return lines, unpriced


def _line(need: Need, price: Price, currency: Currency, markup_pct: Decimal) -> Line:
    because = [*need.because, Because(what=_("Bought as"), value=price.source)]
    because.append(Because(what=_("One %(unit)s costs") % {"unit": need.unit}, value=_fine(price.cost, currency)))
    if markup_pct:
        because.append(Because(what=_("Mark-up"), value=f"{figure(markup_pct, 4)} %"))
    return material_line(
        currency,
        words=need.product,
        amount=need.amount.quantize(HUNDREDTH if need.amount >= HUNDREDTH else THOUSANDTH),
        unit=need.unit,
        cost=price.cost,
        markup_pct=markup_pct,
        key=need.product,
        because=because,
        spread=need.spread,
    )


def _fine(cost: Decimal, currency: Currency) -> str:
    return f"{currency.code}\N{NO-BREAK SPACE}{figure(cost, currency.places + 2)}"
