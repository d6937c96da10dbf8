"""A new shop's products with the packs that they come in: usual sizes, from memory, without supplier or price."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils.translation import gettext_noop

from shop.models import Pack, Product, Pulse
from shop.setup.products import PRODUCTS
from shop.setup.supplies import SUPPLIES

QUART = (gettext_noop("1 US qt can"), "0.946")
GALLON = (gettext_noop("1 US gal can"), "3.785")
HALF_PINT = (gettext_noop("1/2 US pt can"), "0.237")
PACKS: dict[str, tuple[tuple[Any, ...], ...]] = {  # called, amount in the product's unit, width of a roll in inches
    "Boiled linseed oil, thinned": (QUART, GALLON),
    "Oil varnish, thinned by half": (QUART, GALLON),
    "Water-based sanding sealer": (QUART, GALLON),
    "Spar varnish, gloss, UV-protecting": (QUART, GALLON),
    "Cotton duck, No. 10": (
        (gettext_noop("60 in wide, by the metre"), "1", 60.0),
        (gettext_noop("72 in wide, by the metre"), "1", 72.0),
    ),
    "Cotton duck, No. 12": (
        (gettext_noop("84 in wide, by the metre"), "1", 84.0),
        (gettext_noop("96 in wide, by the metre"), "1", 96.0),
    ),
    "Canvas preservative, copper naphthenate": (GALLON, (gettext_noop("5 US gal pail"), "18.927")),
    "Latex canvas filler": ((gettext_noop("1 US gal pail"), "3.785"),),
    "Oil-based canvas filler": ((gettext_noop("1 US gal pail"), "3.785"),),
    "High-build primer, alkyd": (QUART, GALLON),
    "One-part polyurethane enamel, gloss": (HALF_PINT, QUART, GALLON),
    "Waterproof wood glue, one-part": ((gettext_noop("16 fl oz bottle"), "0.473"), GALLON),
    "Epoxy, two-part, both parts together": ((gettext_noop("1 kg kit, about 0.9 L"), "0.9"),),
    "Bedding compound": (QUART,),
    "Brass canoe tacks, 5/8 in": ((gettext_noop("1 lb box"), "0.454"),),
    "Brass canoe tacks, 3/4 in": ((gettext_noop("1 lb box"), "0.454"),),
    "Silicon-bronze screws, No. 6 x 1 in": ((gettext_noop("box of 100"), "100"),),
    **{f"Abrasive sheet, grit {grit}": ((gettext_noop("sleeve of 50"), "50"),) for grit in (80, 120, 220, 320)},
    "Mineral spirits": (GALLON,),
    "Paint and varnish stripper": (QUART, GALLON),
    "Wood cleaner and brightener, two-part": ((gettext_noop("2 US qt kit"), "1.893"),),
    "Cotton rags": ((gettext_noop("10 lb box"), "4.536"),),
    "Nitrile gloves, pair": ((gettext_noop("box of 50 pairs"), "50"),),
    "Paint strainer, fine": ((gettext_noop("pack of 100"), "100"),),
    "White cedar, rib stock": ((gettext_noop("length of 8 ft"), "2.438"),),
    "White cedar, planking stock": ((gettext_noop("bundle of 1 m²"), "1"),),
    "Ash, outwale stock": ((gettext_noop("length of 18 ft"), "5.486"), (gettext_noop("length of 20 ft"), "6.096")),
    "Ash, stem and thwart stock": (
        (gettext_noop("length of 4 ft"), "1.219"),
        (gettext_noop("length of 5 ft"), "1.524"),
    ),
    "Spruce, inwale stock": ((gettext_noop("length of 18 ft"), "5.486"),),
    "Hardwood, deck stock": ((gettext_noop("board of 0.25 m²"), "0.25"),),
    "Cane, binder and strand, one seat": ((gettext_noop("hank"), "1"),),
    "Stem band, brass, half-oval 3/8 in": ((gettext_noop("length of 10 ft"), "3.048"),),
}


def load_products() -> None:
    """Give the shop the usual products that it does not have yet, each with its packs."""
    with transaction.atomic():
        held = set(Product.objects.values_list("name", flat=True))
        taken = set(Product.objects.filter(usual=True).values_list("kind", flat=True))
        new = [
            Product(**{**values, "usual": bool(values.get("usual")) and values["kind"] not in taken})
            for values in (*PRODUCTS, *SUPPLIES)
            if values["name"] not in held
        ]
        Product.objects.bulk_create(new)
        Pack.objects.bulk_create(pack for product in new for pack in _packs(product))
        Pulse.bump(setup=True)


def _packs(product: Product) -> Iterator[Pack]:
    for called, amount, *width in PACKS.get(product.name, ()):
        roll_width_in = width[0] if width else None
        yield Pack(product=product, called=called, amount=Decimal(amount), roll_width_in=roll_width_in)
