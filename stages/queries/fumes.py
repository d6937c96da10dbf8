"""The pots used in a zone today, and what their solvent may come to there."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone
from django.utils.translation import gettext as _

from hulls.sizes import outside_area_m2
from hulls.takeoff import film
from shop.models import Product, Zone
from shop.units import UnitSystem, format_volume
from stages.engine import fumes
from stages.engine.airlog import AirLog
from stages.engine.log import EntryKind
from stages.engine.vocab import Surface
from stages.models import CoatOn, Entry
from stages.queries.pictured import midnight
from stages.queries.sheet_steps import caution_of
from stages.queries.world import Around
from stages.saying import said

COMES_OFF_H = 8.0  # from memory: most of a coat's solvent has left it within a working day
REACH = frozenset({Surface.PLANKING, Surface.SKIN, Surface.INSIDE})  # surfaces of about the hull's outside area


@dataclass(frozen=True, slots=True, kw_only=True)
class PotRow:
    """What went onto one hull today, in words; ``counts`` says whether its solvent is reckoned with."""

    tag: str
    line: int
    product: str
    litres: str
    solvent: str
    counts: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FumesToday:
    """The pots of today, and the caution with its numbers; ``missing`` says what it takes to reckon, or is left out."""

    pots: tuple[PotRow, ...]
    over: bool
    caution: str
    missing: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Used:
    coat: CoatOn
    litres: float | None
    recorded: bool

    @property
    def pot(self) -> fumes.UsedPot | None:
        """The pot as it is reckoned with; None where litres or solvent are not known."""
        solvent = solvent_of(self.coat.product)
        if self.litres is None or solvent is None:
            return None
        return fumes.UsedPot(litres=self.litres, solvent_share=share_of(self.coat.product, solvent), solvent=solvent)


def solvent_of(product: Product) -> fumes.Solvent | None:
    """The solvent of a product by its safety data sheet; None where it was not copied, or has none."""
    density, molar, lel = product.solvent_density_kg_l, product.solvent_molar_g, product.solvent_lel_pct
    if not (product.solvent_g_l and density and molar and lel):
        return None
    return fumes.Solvent(density_kg_l=density, molar_g=molar, lel_pct=lel, source=product.solvent_source)


def share_of(product: Product, solvent: fumes.Solvent) -> float:
    """The share of a product's volume that is solvent, 0 to 1."""
    return min(1.0, (product.solvent_g_l or 0.0) / (1000.0 * solvent.density_kg_l))


def fumes_today(*, zone: Zone, log: AirLog, shop: Around, now: datetime) -> FumesToday:
    """What today's pots may come to in a zone, in two queries.

    Parameters
    ----------
    zone : Zone
        The zone.
    log : AirLog
        Its air, for the temperature.
    shop : Around
        The shop, for its units and time zone.
    now : datetime
        The moment, aware.
    """
    units = UnitSystem(shop.setup.shop.units)
    used = tuple(_used(zone, now, shop))
    rows = tuple(_row(item, units) for item in used)
    pots = [pot for item in used if (pot := item.pot)]
    missing = _missing(zone, used)
    if not pots or not zone.volume_m3:
        return FumesToday(pots=rows, over=False, caution=_outdoors() if pots and zone.outdoors else "", missing=missing)
    air_c = fumes.ROOM_C if log.is_empty else log.air_at(now).air_c
    found = fumes.reckon(pots, zone.volume_m3, hours=COMES_OFF_H, air_c=air_c)
    return FumesToday(pots=rows, over=found.over, caution=caution_of(said(fumes.caution(found))), missing=missing)


def _missing(zone: Zone, used: Sequence[_Used]) -> str:
    if used and not zone.volume_m3:
        return "" if zone.outdoors else _("The volume of this zone is not on record; set it under Settings.")
    if all(item.pot or item.coat.product.solvent_g_l == 0 for item in used):
        return ""
    if any(item.pot for item in used):
        return _("What is not on record is not counted: the true share is higher.")
    return _("Litres or solvent are not on record: their share of the explosive limit cannot be reckoned.")


def _outdoors() -> str:
    return _(
        "Outdoors no share of the explosive limit can be reckoned. Vapour is heavier than air and gathers in hollows "
        "and under covers. No flames, no sparks; stay upwind."
    )


def _used(zone: Zone, now: datetime, shop: Around) -> Iterator[_Used]:
    today = midnight(timezone.localtime(now, shop.setup.shop.zone_info).date(), shop.setup.shop.zone_info)
    coats = CoatOn.objects.filter(zone=zone, at__gte=today, at__lte=now).select_related("product", "work__hull")
    lines = Entry.objects.filter(kind=EntryKind.COAT, at__gte=today, at__lte=now)
    told = {
        (hull, number): details.get("litres")
        for hull, number, details in lines.values_list("hull_id", "number", "details")
    }
    for coat in coats.order_by("at", "work", "entry"):
        litres = told.get((coat.work_id, coat.entry))
        yield _Used(coat=coat, litres=_guess(coat) if litres is None else litres, recorded=litres is not None)


def _guess(coat: CoatOn) -> float | None:
    """Litres by the data sheet's film over the hull's outside area; None where that cannot be said."""
    product = coat.product
    if not (product.solids_pct and product.dry_film_um) or coat.surface not in REACH:
        return None
    area_m2 = outside_area_m2(coat.work.hull)
    return film.pot(area_m2, product.dry_film_um, product.solids_pct / 100.0).product_l


def _row(item: _Used, units: UnitSystem) -> PotRow:
    pot = item.pot
    litres = format_volume(item.litres, units) if item.litres is not None else _("not recorded")
    if item.litres is not None and not item.recorded:
        litres = _("about %(litres)s, by its film") % {"litres": litres}
    return PotRow(
        tag=item.coat.work.hull.tag,
        line=item.coat.entry,
        product=item.coat.product.name,
        litres=litres,
        solvent=_solvent(item, pot, units),
        counts=pot is not None,
    )


def _solvent(item: _Used, pot: fumes.UsedPot | None, units: UnitSystem) -> str:
    if pot is not None:
        return format_volume(pot.solvent_l, units)
    if item.coat.product.solvent_g_l == 0:
        return _("none")
    return _("not counted") if item.litres is None else _("not on record; see the SDS")
