"""How the shop charges, as the pure core of estimates reads it, and money as pages show it."""

from decimal import Decimal

from django.utils.formats import number_format

from hulls.estimate import Currency, Line, LineKind, Rounding, Tax, Terms
from shop.models import Shop
from shop.models import Tax as TaxRow
from shop.units import UnitSystem, format_quantity, unit_name
from shop.units.here import units_here

MEASURES = {unit_name(unit): unit for unit in ("L", "kg", "m", "m2")}


def currency_of(shop: Shop) -> Currency:
    """The shop's one currency.

    Raises
    ------
    EstimateError
        When the shop's row holds none.
    """
    return Currency(code=shop.currency, rounding=Rounding(shop.rounding))


def terms_of(shop: Shop) -> Terms:
    """The shop's currency, taxes and deposit as they stand now, in one query.

    Raises
    ------
    EstimateError
        When one of them cannot be.
    """
    return Terms(currency=currency_of(shop), taxes=tuple(map(_tax, shop.taxes.all())), deposit_pct=shop.deposit_pct)


def _tax(row: TaxRow) -> Tax:
    on = {
        LineKind.HOURS: row.on_hours,
        LineKind.MATERIAL: row.on_materials,
        LineKind.SUBCONTRACT: row.on_subcontracts,
    }
    return Tax(name=row.name, rate_pct=row.rate_pct, on=frozenset(kind for kind, taxed in on.items() if taxed))


def money(amount: Decimal, code: str) -> str:
    """An amount with its currency, such as "EUR 1,234.50"; its decimals are those of the currency's coins."""
    currency = Currency(code=code)
    shown = number_format(currency.rounded(amount), decimal_pos=currency.places, use_l10n=True, force_grouping=True)
    return f"{code}\N{NO-BREAK SPACE}{shown}"


def unit_price(amount: Decimal, code: str) -> str:
    """A price of one unit with its currency: in whole coins where it is, else as fine as it is."""
    if amount == Currency(code=code).rounded(amount):
        return money(amount, code)
    return f"{code}\N{NO-BREAK SPACE}{figure(amount, 6)}"


def amount_of(line: Line) -> str:
    """How much a line charges for, as it is priced; a shop that reads US units has them first: "2 lb (0.91 kg)"."""
    unit = unit_name(line.unit)
    priced = f"{figure(line.amount)}\N{NO-BREAK SPACE}{unit}"
    if units_here.get() is UnitSystem.METRIC or unit not in MEASURES:
        return priced
    return f"{format_quantity(float(line.amount), MEASURES[unit], UnitSystem.US)} ({priced})"


def figure(amount: Decimal, places: int = 3) -> str:
    """A plain number without the zeros that say nothing: "7.5"."""
    trimmed = f"{amount:.{places}f}".rstrip("0").rstrip(".") if places else f"{amount:.0f}"
    return number_format(trimmed, use_l10n=True)
