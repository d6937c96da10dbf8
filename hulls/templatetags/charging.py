"""``{{ line.total|money:currency }}`` and ``{{ line.amount|figure }}``."""

from decimal import Decimal

from django import template

from hulls import charging

register = template.Library()


@register.filter
def money(amount: Decimal | None, code: str) -> str:
    """An amount with its currency; nothing for no amount."""
    return charging.money(amount, code) if amount is not None else ""


@register.filter
def figure(amount: Decimal | None) -> str:
    """A plain number; nothing for none."""
    return charging.figure(amount) if amount is not None else ""
