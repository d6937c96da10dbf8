"""The shop's products and packs as the take-off reads them."""

from django.db.models import Prefetch

from hulls.takeoff import Material, Pack
from shop.models import Pack as PackRow
from shop.models import Product


def shop_materials() -> tuple[Material, ...]:
    """Read what the shop uses, of each kind the usual one first, in two queries."""
    sold = Prefetch("packs", queryset=PackRow.objects.filter(active=True))
    rows = Product.objects.filter(active=True).prefetch_related(sold).order_by("kind", "-usual", "name")
    return tuple(material_of(row) for row in rows)


def material_of(row: Product) -> Material:
    """Give one product with the packs that were read with it."""
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
        packs=tuple(
            Pack(amount=float(pack.amount), called=pack.called, price=pack.price, roll_width_in=pack.roll_width_in)
            for pack in row.packs.all()
        ),
    )
