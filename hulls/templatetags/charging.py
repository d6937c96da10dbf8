"""``{{ line.total|money:code }}``, ``{{ line.unit_price|unit_price:code }}`` and ``{{ line|amount }}``."""

from decimal import Decimal

from django import template

from hulls import charging
from hulls.estimate import Line

register = template.Library()


@register.filter
def money(amount: Decimal | None, code: str) -> str:
    """An amount with its currency; nothing for no amount."""
    return charging.money(amount, code) if amount is not None else ""


@register.filter
def figure(amount: Decimal | None) -> str:
    """A plain number; nothing for none."""
    return charging.figure(amount) if amount is not None else ""


@register.filter
def amount(line: Line) -> str:
    """How much a line charges for, with its unit."""
    return charging.amount_of(line)


@register.filter
def unit_price(amount: Decimal, code: str) -> str:
    """A price of one unit, which may be finer than a coin."""
    return charging.unit_price(amount, code)


@register.filter
def plain_money(amount: Decimal, code: str) -> str:
    """An amount under the head of a column that names its currency."""
    return charging.money(amount, code).partition("\N{NO-BREAK SPACE}")[2]


@register.filter
def plain_unit_price(amount: Decimal, code: str) -> str:
    """A price of one unit under the head of a column that names its currency."""
    return charging.unit_price(amount, code).partition("\N{NO-BREAK SPACE}")[2]
