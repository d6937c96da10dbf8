"""`manage.py buylist --until 2026-07-01 --json`: what must be bought for the planned work, by supplier and in packs."""

import json
from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Iterator
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone
from django.utils.translation import gettext as _

from hulls.charging import money
from shop.units import UnitSystem, format_quantity
from stages.queries.buylist import BuyLine, BuyList, FromSupplier, LateOrder, NoPack, buy_list
from stages.queries.world import around


def a_day(text: str) -> date:
    """Read a day as ISO 8601 writes it."""
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise ArgumentTypeError(_("%(typed)s is not a day, like 2026-07-01.") % {"typed": text}) from error


class Command(BaseCommand):
    """Shows the buy list of the shop."""

    help = "Show what must be bought for the planned work: by supplier, in packs, by when, for which hulls."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Name the last day, and the form."""
        parser.add_argument("--until", type=a_day, metavar="2026-07-01", help="leave out what is needed later")
        parser.add_argument("--json", action="store_true", help="as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        """Reckon and show."""
        shop = around()
        found = buy_list(shop, timezone.now(), options["until"])
        currency = shop.setup.shop.currency
        if options["json"]:
            self.stdout.write(json.dumps(plain(found, currency), indent=2))
        else:
            self.stdout.write("\n".join(table(found, currency, UnitSystem(shop.setup.shop.units))))


def plain(found: BuyList, currency: str) -> dict[str, Any]:
    """The buy list as plain JSON values: days by ISO 8601, money as text with its decimals."""
    return {
        "today": found.today.isoformat(),
        "until": found.until.isoformat() if found.until else None,
        "currency": currency,
        "cost": str(found.cost),
        "without_price": found.unpriced,
        "suppliers": [_supplier(supplier) for supplier in found.suppliers],
        "no_pack": [_bare(bare) for bare in found.no_pack],
        "late": [_late(late) for late in found.late],
    }


def table(found: BuyList, currency: str, units: UnitSystem) -> Iterator[str]:
    """The buy list line by line."""
    yield from (_late_in_words(late, units) for late in found.late)
    if not found.suppliers and not found.no_pack:
        yield _("Nothing needs to be bought.")
        return
    for supplier in found.suppliers:
        yield supplier.supplier.name if supplier.supplier else _("No supplier on record")
        for line in supplier.lines:
            cost = money(line.cost, currency) if line.cost is not None else _("no price")
            yield (
                f"  {line.packs:>3} x {line.pack.called:<22.22} {line.pack.product.name:<40.40} "
                f"{_('order by')} {max(line.order_by, found.today)}  "
                f"{_('needed from') if line.is_late else _('here by')} {line.by}  {cost:>12}  {', '.join(line.hulls)}"
            )
    for bare in found.no_pack:
        missing = format_quantity(bare.missing, bare.product.unit, units)
        yield f"{bare.product.name}: {missing}, {_('no pack on record')}, {', '.join(bare.hulls)}"
    yield f"{_('Together')}: {money(found.cost, currency)}"


def _supplier(found: FromSupplier) -> dict[str, Any]:
    return {
        "supplier": found.supplier.name if found.supplier else None,
        "cost": str(found.cost),
        "lines": [_line(line) for line in found.lines],
    }


def _line(line: BuyLine) -> dict[str, Any]:
    return {
        "product": line.pack.product.name,
        "pack": line.pack.called,
        "pack_amount": str(line.pack.amount),
        "unit": line.pack.product.unit,
        "packs": line.packs,
        "missing": round(line.missing, 3),
        "by": line.by.isoformat(),
        "order_by": line.order_by.isoformat(),
        "here_on": line.here_on.isoformat(),
        "hulls": list(line.hulls),
        "cost": str(line.cost) if line.cost is not None else None,
    }


def _late_in_words(late: LateOrder, units: UnitSystem) -> str:
    words = {
        "product": late.product.name,
        "amount": format_quantity(late.amount, late.product.unit, units),
        "expected": late.expected,
        "by": late.by,
        "hulls": ", ".join(late.hulls),
    }
    if late.is_overdue:
        return _("%(product)s: %(amount)s on order should have been here %(expected)s, %(hulls)s") % words
    return _("%(product)s: %(amount)s on order come %(expected)s, needed from %(by)s, %(hulls)s") % words


def _late(late: LateOrder) -> dict[str, Any]:
    return {
        "product": late.product.name,
        "amount": round(late.amount, 3),
        "unit": late.product.unit,
        "expected": late.expected.isoformat(),
        "by": late.by.isoformat(),
        "hulls": list(late.hulls),
    }


def _bare(bare: NoPack) -> dict[str, Any]:
    return {
        "product": bare.product.name,
        "missing": round(bare.missing, 3),
        "unit": bare.product.unit,
        "by": bare.by.isoformat(),
        "hulls": list(bare.hulls),
    }
