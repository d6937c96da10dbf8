"""The shop's products and packs as the take-off reads them."""

from collections.abc import Iterable, Iterator
from decimal import Decimal

from django.db.models import Prefetch

from hulls.takeoff import Material, Pack, TakeOffError
from shop.models import Pack as PackRow
from shop.models import Product
from shop.setup.products import PRODUCTS
from shop.setup.shelves import PACKS
from shop.setup.supplies import SUPPLIES


def shop_materials() -> tuple[Material, ...]:
    """Read what the shop uses, of each kind the usual one first, in two queries."""
    sold = Prefetch("packs", queryset=PackRow.objects.filter(active=True))
    rows = Product.objects.filter(active=True).prefetch_related(sold).order_by("kind", "-usual", "name")
    return tuple(_readable((row, row.packs.all()) for row in rows))


def usual_materials() -> tuple[Material, ...]:
    """Give what a new shop starts with, without a database."""
    values = sorted((*PRODUCTS, *SUPPLIES), key=lambda found: (found["kind"], not found.get("usual"), found["name"]))
    return tuple(_readable((Product(**found), _usual_packs(found["name"])) for found in values))


def material_of(row: Product, packs: Iterable[PackRow]) -> Material:
    """Give one product with its packs.

    Raises
    ------
    TakeOffError
        It has a number that cannot be reckoned with, like a grit that is no P-grade.
    """
    return Material(
        name=row.name,
        kind=row.kind,
        unit=row.unit,
        spread_m2_per_unit=row.spread_m2_per_unit,
        solids=row.solids_pct / 100 if row.solids_pct else None,
        dry_film_um=row.dry_film_um,
        loss=row.loss_pct / 100,
        oil_based=row.oil_based,
        sanded=row.sand_between,
        grit=row.grit,
        duck_number=row.duck_number,
        length_mm=row.length_mm,
        pieces_per_kg=row.pieces_per_kg,
        part=row.part,
        keeps_days=row.shelf_life_days,
        keeps_open_days=row.opened_life_days,
        packs=tuple(
            Pack(amount=float(pack.amount), called=pack.called, price=pack.price, roll_width_in=pack.roll_width_in)
            for pack in packs
        ),
    )


def _readable(rows: Iterable[tuple[Product, Iterable[PackRow]]]) -> Iterator[Material]:
    """Pass over a product that cannot be reckoned with: a take-off then names its kind as unknown."""
    for row, packs in rows:
        try:
            yield material_of(row, packs)
        except TakeOffError:
            continue


def _usual_packs(name: str) -> Iterator[PackRow]:
    for called, amount, *width in PACKS.get(name, ()):
        yield PackRow(called=called, amount=Decimal(amount), roll_width_in=width[0] if width else None)
