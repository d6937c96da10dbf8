"""Cans on the shelf, as the tests of the stores want them."""

from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

from django.utils import timezone

from shop.models import Lot, Pack, Product
from shop.services import stores
from tests.factories import hand, product


def a_pack(kind: str = "primer", amount: str = "0.946", **more: Any) -> Pack:
    """A size in which the usual product of a kind is sold."""
    return Pack.objects.create(product=product(kind), called=f"can of {amount}", amount=Decimal(amount), **more)


def cans(kind: str = "primer", amount: str = "0.946", packs: int = 1, **more: Any) -> list[Lot]:
    """Cans of the usual product of a kind that came in a month ago."""
    return take_in(a_pack(kind, amount), packs, a_month_ago(), **more)


def a_month_ago() -> datetime:
    """A moment before anything else happens in a test."""
    return timezone.now() - timedelta(days=31)


def take_in(pack: Pack, packs: int, at: datetime, received_on: date | None = None, **more: Any) -> list[Lot]:
    """Packs on the shelf."""
    return stores.take_in(
        pack=pack, packs=packs, by=hand().by, client_id=uuid4(), now=at, received_on=received_on or at.date(), **more
    )


def count(lot: Lot, amount: str, reason: str = "weighed") -> Lot:
    """What somebody found in a lot."""
    return stores.count(
        lot=lot, amount=Decimal(amount), reason=reason, by=hand().by, client_id=uuid4(), now=timezone.now()
    )


def holds(lot: Lot) -> Decimal:
    """What a lot holds by the table."""
    return Lot.objects.get(pk=lot.pk).holds


def left(of: Product) -> Decimal:
    """What all lots of a product hold."""
    return sum(Lot.objects.filter(product=of).values_list("holds", flat=True), Decimal(0))
