"""The demo shop's stores: invented suppliers, cans that came in as they were needed, and two orders on their way."""

from datetime import datetime, timedelta
from decimal import Decimal
from uuid import UUID, uuid5

from shop.models import CrewMember, Pack, Supplier
from shop.services import stores
from stages.engine.products import Product
from stages.engine.route import StageSpec
from stages.engine.usage import coat_amount
from stages.engine.work import Work
from stages.services.orders import Hand

SUPPLIERS = (  # name, days from order to door, the kinds that they sell
    ("Harbour Chandlery", 5, ("sealer", "varnish", "primer", "enamel", "solvent", "bedding", "abrasive")),
    ("Tanner's Canvas and Filler", 9, ("canvas", "preservative", "latex_filler", "oil_filler", "tacks", "cane")),
    ("Mill Road Hardware", 2, ("oil", "stripper", "cleaner", "glue", "rags", "gloves", "filter", "fastenings")),
)
EARLIER = timedelta(days=3)
COATS_AT_ONCE = 3
ON_THEIR_WAY = (("enamel", 2, 4), ("canvas", 9, 6))  # kind, packs, days until they should be here


def load_suppliers() -> None:
    """Make the suppliers, and say which packs they sell."""
    for name, lead_days, kinds in SUPPLIERS:
        email = f"{name.split()[0].lower().replace(chr(39), '')}@example.org"
        supplier = Supplier.objects.create(name=name, email=email, lead_days=lead_days)
        Pack.objects.filter(product__kind__in=kinds).update(supplier=supplier)


def restock(work: Work, product: Product, spec: StageSpec, hand: Hand, label: str) -> None:
    """Take cans in before a coat goes on for which the stores do not hold enough."""
    one = coat_amount(work, product, spec)
    stock = work.world.stores.get(product.id)
    pack = Pack.objects.filter(product=product.id).select_related("product").order_by("-amount").first()
    if not one or pack is None or (stock and stock.in_date(hand.at.date()) >= one):
        return
    packs = int(Decimal(str(one * COATS_AT_ONCE)) // pack.amount) + 1
    came = hand.at - EARLIER
    number = uuid5(hand.client_id, "stores")
    stores.take_in(pack=pack, packs=packs, by=hand.by, client_id=number, now=came, received_on=came.date(), label=label)


def order_some(now: datetime, by: CrewMember) -> None:
    """Two orders are on their way."""
    for number, (kind, packs, days) in enumerate(ON_THEIR_WAY, start=1):
        pack = Pack.objects.filter(product__kind=kind, product__usual=True).select_related("product")[0]
        stores.place_order(
            pack=pack,
            packs=packs,
            ordered_on=(now - EARLIER).date(),
            expected_on=(now + timedelta(days=days)).date(),
            by=by,
            client_id=UUID(int=number, version=4),
        )
