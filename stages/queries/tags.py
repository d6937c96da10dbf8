"""Labels of hulls and cans: what stands on each, and where the short address in its code leads."""

from collections.abc import Iterable, Iterator

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from hulls.models import Hull
from shop.labels.drawing import Label
from shop.models import Lot, Shop
from shop.units import UnitSystem, format_length

HULL, CAN = "h", "c"  # what the number in a short address counts
MOST_STAYS = 50


def hull_labels(hulls: Iterable[Hull], shop: Shop, site: str) -> Iterator[Label]:
    """A label for each hull, with nothing of whose it is: it hangs on the boat for everybody to see.

    Parameters
    ----------
    hulls : iterable of Hull
        The boats.
    shop : Shop
        For its name and units.
    site : str
        The address at which phones reach the shop, without a last stroke.
    """
    for hull in hulls:
        length = format_length(hull.length_m, UnitSystem(shop.units), parts_of_inch=8)
        lines = (hull.name, length, shop.name)
        yield Label(address=f"{site}/t/{HULL}{hull.pk}/", name=hull.tag, lines=lines)


def can_labels(lots: Iterable[Lot], site: str) -> Iterator[Label]:
    """A label for each can, roll or box."""
    for lot in lots:
        came = _("came %(day)s") % {"day": date_format(lot.received_on, "Y-m-d")}
        until = _("good until %(day)s") % {"day": date_format(lot.use_by, "Y-m-d")} if lot.use_by else ""
        yield Label(address=f"{site}/t/{CAN}{lot.pk}/", name=str(lot), lines=(lot.product.name, came, until))


def newest_stay(pk: int) -> Hull | None:
    """The hull of a label; where the boat has come in again since, as what it is here now."""
    hull = Hull.objects.filter(pk=pk).first()
    for _stay in range(MOST_STAYS):
        later = Hull.objects.filter(before_id=hull.pk).first() if hull else None
        if later is None:
            break
        hull = later
    return hull
