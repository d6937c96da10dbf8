"""What to buy, in words: each amount with its packs, and the sizes and sums that it came from."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from django.utils.formats import number_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hulls.charging import money
from hulls.takeoff import Canvas, Cloth, How, Item, TakeOff, Term
from shop.models import ProductKind
from shop.stored import stored
from shop.units import UnitSystem, convert, format_length, format_mass, format_quantity

SIGNS = {How.TIMES: "×", How.OVER: "÷", How.PLUS: "+"}
# Units of two parts: how they read, and in US units what they are converted to (by pint's names) and read as.
RATES = {
    "m2/L": ("m²/L", "meter**2/liter", "foot**2/gallon", "ft²/gal"),
    "m2/kg": ("m²/kg", "meter**2/kilogram", "foot**2/pound", "ft²/lb"),
    "m2/m": ("m²/m", "meter**2/meter", "foot**2/foot", "ft²/ft"),
    "kg/m2": ("kg/m²", "kilogram/meter**2", "ounce/yard**2", "oz/yd²"),
    "L/m": ("L/m", "liter/meter", "fluid_ounce/foot", "fl oz/ft"),
}
MEASURED = frozenset({"L", "kg", "m", "m2"})
EACH = {"m2/pc": "m2", "L/pc": "L", "kg/pc": "kg", "m/pc": "m"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One product to buy; ``price`` is empty where it is not shown."""

    what: str
    for_what: str
    amount: str
    packs: str
    price: str
    sizes: str
    sums: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """All that is to be bought.

    Parameters
    ----------
    rows : tuple of Need
        One a product.
    canvas : tuple of str
        The blank, and what to know of its cloth.
    unknown : tuple of str
        Kinds of things that the work takes, and of which the shop has too little on record to say an amount.
    total : str
        What the packs cost together, as far as their prices are known; empty where none is shown.
    """

    rows: tuple[Need, ...]
    canvas: tuple[str, ...]
    unknown: tuple[str, ...]
    total: str

    def plain(self) -> list[dict[str, str]]:
        """The rows as they are kept with an enquiry."""
        return [
            {"what": row.what, "for_what": row.for_what, "amount": row.amount, "packs": row.packs} for row in self.rows
        ]


def needs_of(take_off: TakeOff, units: UnitSystem, currency: str | None) -> Needs:
    """Say a take-off in words.

    Parameters
    ----------
    take_off : TakeOff
        What the boat needs.
    units : UnitSystem
        How to show amounts.
    currency : str or None
        The currency of the packs' prices; None shows none.
    """
    prices = [cost for item in take_off.items if (cost := _cost(item)) is not None] if currency else []
    return Needs(
        rows=tuple(_need(item, units, currency) for item in take_off.items),
        canvas=tuple(_canvas(take_off.canvas, units)) if take_off.canvas else (),
        unknown=tuple(str(ProductKind(kind).label) for kind in take_off.unknown),
        total=money(sum(prices, Decimal(0)), currency) if currency and prices else "",
    )


def _need(item: Item, units: UnitSystem, currency: str | None) -> Need:
    cost = _cost(item) if currency else None
    return Need(
        what=stored(item.product),
        for_what=_(item.for_what),
        amount=_amount(item, units),
        packs=_packs(item),
        price=money(cost, currency) if currency and cost is not None else "",
        sizes="; ".join(dict.fromkeys(_said(term, units) for term in item.because if term.how is How.START)),
        sums=tuple(sums_in_words(item.because, units)),
    )


def _amount(item: Item, units: UnitSystem) -> str:
    amount = amount_words(item.amount, item.unit, units)
    if item.pieces is None:
        return amount
    counted = ngettext("%(amount)s, %(n)s piece", "%(amount)s, %(n)s pieces", item.pieces)
    return counted % {"amount": amount, "n": number_format(item.pieces, 0)}


def _packs(item: Item) -> str:
    if not item.packs:
        return _("no pack of it is known") if item.piece is None else _("no length on record is long enough")
    return ", ".join(f"{packed.count} × {stored(packed.pack.called)}" for packed in item.packs)


def _cost(item: Item) -> Decimal | None:
    """What the packs of an item cost; None where one has no price, or none is known."""
    prices = [None if packed.pack.price is None else packed.count * packed.pack.price for packed in item.packs]
    known = [price for price in prices if price is not None]
    return sum(known, Decimal(0)) if known and len(known) == len(prices) else None


def _canvas(canvas: Canvas, units: UnitSystem) -> Iterator[str]:
    blank = {
        "length": format_length(canvas.blank_length_m, units),
        "width": format_length(canvas.width_needed_m, units),
    }
    yield _("The blank of canvas: %(length)s long, and at least %(width)s wide.") % blank
    if canvas.roll_width_in is not None and canvas.weight_kg is not None:
        roll = {"width": f"{canvas.roll_width_in:g}", "weight": format_mass(canvas.weight_kg, units)}
        yield _("From a roll of %(width)s in it weighs about %(weight)s.") % roll
    if canvas.others:
        yield _("These would do too: %(rolls)s.") % {"rolls": "; ".join(_roll(cloth, units) for cloth in canvas.others)}
    yield _(canvas.advice)


def _roll(cloth: Cloth, units: UnitSystem) -> str:
    roll = _("%(product)s, %(width)s in wide") % {"product": stored(cloth.product), "width": f"{cloth.roll_width_in:g}"}
    return roll if cloth.weight_kg is None else f"{roll}, {format_mass(cloth.weight_kg, units)}"


def sums_in_words(terms: tuple[Term, ...], units: UnitSystem) -> Iterator[str]:
    """Each sum on a line of its own, term by term."""
    line: list[str] = []
    for term in terms:
        if term.how is How.START and line:
            yield " ".join(line)
            line = []
        line.append(_said(term, units))
    if line:
        yield " ".join(line)


def _said(term: Term, units: UnitSystem) -> str:
    words = _(term.words)
    if term.how is How.UP:
        return _("up to %(words)s") % {"words": words}
    value = amount_words(term.value, term.unit, units)
    return f"{words} {value}" if term.how is How.START else f"{SIGNS[term.how]} {value} {words}"


def amount_words(value: float, unit: str, units: UnitSystem) -> str:
    """An amount as people read it, in metric or US units.

    Parameters
    ----------
    value : float
        The amount.
    unit : str
        ``L``, ``kg``, ``m2``, ``m``, ``pc``, two of them with a slash, or nothing for a bare number.
    units : UnitSystem
        How to show it.
    """
    if unit in MEASURED:
        return format_quantity(value, unit, units)
    if unit in EACH:
        return _("%(amount)s each") % {"amount": amount_words(value, EACH[unit], units)}
    if unit in RATES:
        metric, ours, theirs, us = RATES[unit]
        return (
            f"{_number(convert(value, ours, theirs))} {us}" if units is UnitSystem.US else f"{_number(value)} {metric}"
        )
    return _number(value)


def _number(value: float) -> str:
    return number_format(f"{value:.3g}" if value < 1000 else f"{value:.0f}", use_l10n=True)
