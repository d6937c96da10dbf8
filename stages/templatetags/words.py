"""``{{ finding.words|said }}``, ``{{ earliest|when }}``, ``{{ status.hours|hours }}``, ``{{ held|quantity:unit }}``."""

from datetime import datetime

from django import template
from django.utils import timezone

from shop.units import format_quantity
from shop.units.here import units_here
from stages import saying
from stages.engine.findings import Words

register = template.Library()


@register.filter
def said(words: Words | None) -> str:
    """A sentence of the engine in the reader's language; nothing for no sentence."""
    return saying.said(words) if words else ""


@register.filter
def when(at: datetime | None) -> str:
    """A moment in few words by the shop's clock, such as "today 16:30"; nothing for no moment."""
    return saying.when(at, timezone.now()) if at else ""


@register.filter
def hours(amount_h: float | None) -> str:
    """Hours of work, such as "1.5 h"; nothing for no number."""
    return saying.hours(amount_h) if amount_h is not None else ""


@register.filter
def quantity(amount: float, unit: str) -> str:
    """An amount of what is counted in a unit, in the shop's units."""
    return format_quantity(amount, unit, units_here.get())
