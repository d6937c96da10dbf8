"""The materials of an estimate: what the take-off asks for, at what the stores' packs cost."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import chain, repeat

from django.utils.translation import gettext as _

from hulls.charging import figure, money
from hulls.estimate import Because, Currency, Line, material_line
from hulls.materials import shop_materials
from hulls.models import Hull
from hulls.sizes import sizes_of
from hulls.takeoff import Item, take_off
from shop.stored import stored
from shop.units import UnitSystem, unit_name
from stages.advice.work import work_of_steps
from stages.engine.work import Work
from stages.queries.supplies_needs import sums_in_words

HUNDREDTH = Decimal("0.01")
POT_SPREAD = 0.1  # from boat to boat at one size: thirst of the wood, hand, what dries in the pot; common practice


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What one unit of a product costs the shop, and where that is from."""

    cost: Decimal
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """An amount of a product, what it was reckoned from, its price, and how far off it may be (log deviation)."""

    product: str
    amount: Decimal
    unit: str
    because: tuple[Because, ...]
    spread: float
    price: Price | None


def needs_of(hull: Hull, work: Work, currency: Currency, units: UnitSystem) -> tuple[Need, ...]:
    """What a hull's plan of work takes of the shop's products, in two queries.

    What was left out is not needed; what is done already is, since an estimate is of the whole job.
    """
    planned = (s for s in work.route.stages if s.when.holds(work.scope) and not work.state.stage(s.key).left_out)
    sizes = sizes_of(hull)
    found = take_off(sizes, work_of_steps(planned, work.state.counts), shop_materials())
    spread = math.hypot(sizes.spread_pct / 100, POT_SPREAD)
    return tuple(_need(item, spread, currency, units) for item in found.items if item.amount > 0)


def _need(item: Item, spread: float, currency: Currency, units: UnitSystem) -> Need:
    what = _(item.for_what)
    names = chain([what[:1].upper() + what[1:]], repeat(_("and")))
    because = tuple(
        Because(what=name, value=s) for name, s in zip(names, sums_in_words(item.because, units), strict=False)
    )
    amount = Decimal(item.amount).quantize(HUNDREDTH)
    return Need(
        product=item.product,
        amount=max(amount, HUNDREDTH),
        unit=unit_name(item.unit),
        because=because,
        spread=spread,
        price=_price(item, currency),
    )


def _price(item: Item, currency: Currency) -> Price | None:
    """The price of a unit out of the cheapest packs that cover an amount; None where one has no price."""
    costs = [(packed.count, packed.pack.price) for packed in item.packs]
    known = [count * price for count, price in costs if price is not None]
    held = sum(packed.count * packed.pack.amount for packed in item.packs)
    if not known or len(known) < len(costs) or not held:
        return None
    packs = ", ".join(f"{packed.count} × {stored(packed.pack.called)}" for packed in item.packs)
    whole = sum(known, Decimal(0))
    return Price(cost=whole / Decimal(str(round(held, 6))), source=f"{packs}: {money(whole, currency.code)}")


def material_lines(
    needs: Iterable[Need], currency: Currency, markup_pct: Decimal, typed: Mapping[str, Decimal]
) -> tuple[list[Line], list[str]]:
    """A line for every need that has a price, and the names of those that have none."""
    lines, unpriced = [], []
    for need in needs:
        price = need.price
        if need.product in typed:
            price = Price(cost=typed[need.product], source=_("set by hand"))
        if price is None:
            unpriced.append(need.product)
            continue
        lines.append(_line(need, price, currency, markup_pct))
    return lines, unpriced


def _line(need: Need, price: Price, currency: Currency, markup_pct: Decimal) -> Line:
    fine = f"{currency.code}\N{NO-BREAK SPACE}{figure(price.cost, currency.places + 2)}"
    because = [
        *need.because,
        Because(what=_("Bought as"), value=price.source, ours=True),
        Because(what=_("One %(unit)s costs") % {"unit": need.unit}, value=fine, ours=True),
    ]
    if markup_pct:
        because.append(Because(what=_("Mark-up"), value=f"{figure(markup_pct, 4)} %", ours=True))
    return material_line(
        currency,
        words=stored(need.product),
        amount=need.amount,
        unit=need.unit,
        cost=price.cost,
        markup_pct=markup_pct,
        key=need.product,
        because=because,
        spread=need.spread,
    )
