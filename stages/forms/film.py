"""How far a pot goes: typed into a product's page, and asked by its address."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.functional import Promise
from django.utils.translation import gettext, gettext_lazy
from django.utils.translation import gettext_lazy as _

from hulls.takeoff import film
from hulls.takeoff.errors import TakeOffError
from shop.models import Product, Shop
from shop.units import UnitSystem, convert
from stages.queries.product import Poured

LOSSES: dict[str, tuple[Promise, float]] = {
    "brush": (gettext_lazy("brush"), film.LOSS_BRUSH),
    "roller": (gettext_lazy("roller"), film.LOSS_ROLLER),
    "spray": (gettext_lazy("spray"), film.LOSS_SPRAY),
}
FIELDS = {"area_m2": "area", "dry_film_um": "dry_film", "volume_solids": "solids", "thinning": "thinner"}


class FilmForm(forms.Form):
    """Area, dry film, solids, thinner and tool; in the shop's units, reckoned in SI.

    Parameters
    ----------
    product : Product
        For what its data sheet says.
    shop : Shop
        For its units.
    """

    area = forms.FloatField(min_value=0.01, max_value=10_000)
    dry_film = forms.FloatField(min_value=0.01, max_value=2000)
    solids = forms.FloatField(label=_("Solids, % of the volume"), min_value=1, max_value=100)
    thinner = forms.FloatField(label=_("Thinner put in, %"), min_value=0, max_value=100, required=False)
    tool = forms.ChoiceField(label=_("Laid on by"), choices=[(key, name) for key, (name, _loss) in LOSSES.items()])

    def __init__(self, data: Any = None, *, product: Product, shop: Shop, auto_id: str) -> None:
        self.us = UnitSystem(shop.units) is UnitSystem.US
        film_um = product.dry_film_um
        first = {"solids": product.solids_pct, "thinner": 0, "dry_film": film_um and self._film_shown(film_um)}
        super().__init__(data, initial=first, label_suffix="", auto_id=auto_id)
        self.fields["area"].label = _("Area, ft²") if self.us else _("Area, m²")
        self.fields["dry_film"].label = _("Dry film, thousandths of an inch") if self.us else _("Dry film, µm")
        for name in ("area", "dry_film", "solids", "thinner"):
            self.fields[name].widget.attrs |= {"inputmode": "decimal", "step": "any"}

    def _film_shown(self, film_um: float) -> float:
        return round(convert(film_um, "micrometer", "thou"), 2) if self.us else film_um

    @property
    def reckoned(self) -> Poured | None:
        """The pot, and how it spreads; None where nothing possible was asked."""
        if not self.is_bound or not self.is_valid():
            return None
        data = self.cleaned_data
        area_m2 = convert(data["area"], "foot**2", "meter**2") if self.us else data["area"]
        dry_um = convert(data["dry_film"], "thou", "micrometer") if self.us else data["dry_film"]
        solids, loss = data["solids"] / 100.0, LOSSES[data["tool"]][1]
        try:
            pot = film.pot(area_m2, dry_um, solids, thinning=(data["thinner"] or 0.0) / 100.0, loss=loss)
            theoretical = film.theoretical_m2_per_l(solids, dry_um)
            return Poured(pot, film.practical_m2_per_l(theoretical, loss), theoretical)
        except TakeOffError as error:
            self.add_error(FIELDS.get(error.field), ValidationError(gettext(error.message)))
            return None
