"""A coat went on: of what, out of which can, and how much of it; the amount stands there already."""

from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shop.models import Product
from shop.units import UnitSystem, format_quantity
from stages.engine.stores import Can
from stages.engine.usage import coat_amount
from stages.engine.vocab import ProductKind
from stages.forms.act import ActForm, about_stage
from stages.forms.fields import PlainText, QuantityField, VolumeField
from stages.models import Surface
from stages.saying import day

Choices = list[tuple[Any, Any]]


class CoatForm(ActForm):
    """Record a coat. Where the stores hold its product, the can and the amount are proposed and may stay."""

    action, title, press = "coat", _("Record a coat"), _("The coat is on")
    fold = _("Pot, surface, air or time")
    main: tuple[str, ...] = ("product",)
    stage = about_stage()
    product = forms.TypedChoiceField(label=_("Product"), coerce=int)
    from_lot = forms.TypedChoiceField(
        label=_("Out of"), coerce=int, empty_value=None, required=False, show_hidden_initial=True
    )
    surface = forms.ChoiceField(label=_("Surface"), choices=Surface)
    zone = forms.TypedChoiceField(label=_("Dries in the air of"), coerce=int, empty_value=None, required=False)
    lot = PlainText(label=_("Pot or lot"), max_length=40, required=False)
    litres = VolumeField(
        label=_("Used of the pot"),
        required=False,
        show_hidden_initial=True,
        help_text=_("Like 350 mL or 1/2 qt; the fumes are reckoned from it."),
    )

    def narrow(self) -> None:
        """Offer the shop's products, those that the step asks for first and the last one taken or the usual chosen."""
        spec, work = self.spec, self.at_hand.work
        kind = spec.product if spec else None
        self.offer("product", products_for(self.at_hand.setup.products, kind))
        self.offer("zone", [(pk, zone.name) for pk, zone in self.at_hand.setup.zones.items()])
        likely = work.product_for(spec) if spec else None
        self.initial.setdefault("product", likely.id if likely else None)
        self.initial.setdefault("surface", spec.surface if spec else None)
        self.initial.setdefault("zone", work.state.stay.zone if work.state.stay else None)
        on = work.state.stage(spec.key).coats_on if spec else 0
        if spec and on < spec.coats and spec.coats > 1:
            self.button = gettext("Coat %(n)s of %(all)s is on") % {"n": on + 1, "all": spec.coats}
        self._count_in_its_unit(likely.unit if likely else "L")
        self._pour_from_the_stores(kind)

    def clean(self) -> dict[str, Any]:
        """Tell a proposal that was left as it was from a measurement, and a can of another product from a choice."""
        told = super().clean() or {}
        touched, used = self.changed_data, "litres" if "litres" in self.fields else "amount"
        told["measured"] = told.get(used) is not None and used in touched
        of = self._product_of(told.get("from_lot"))
        if of is not None and of != told.get("product"):
            if "from_lot" in touched:
                self.add_error("from_lot", gettext("That can holds %(other)s.") % {"other": self._named(of)})
            told["from_lot"] = None  # it was proposed for the product that stood there first, and so was the amount
            told[used] = told.get(used) if told["measured"] else None
        return told

    def _count_in_its_unit(self, unit: str) -> None:
        if unit != "L":
            del self.fields["litres"]
            self.fields["amount"] = QuantityField(
                unit=unit, label=_("How much of it"), required=False, show_hidden_initial=True
            )

    def _pour_from_the_stores(self, kind: ProductKind | None) -> None:
        """Offer the cans in date, the open one chosen, and propose what a coat takes."""
        cans = self._cans(kind)
        if not cans:
            del self.fields["from_lot"]
            return
        used = "litres" if "litres" in self.fields else "amount"
        self.main = ("product", "from_lot", used)
        by_product: Choices = [
            (self._named(pk), [(can.id, self._said(can, pk)) for can in found]) for pk, found in cans.items()
        ]
        offered = by_product if len(by_product) > 1 else by_product[0][1]
        self.offer("from_lot", [("", gettext("What is open, then the oldest")), *offered])
        likely = self.initial["product"]
        if likely in cans:
            self.initial.setdefault("from_lot", cans[likely][0].id)
            self.initial.setdefault(used, self._proposed(likely))
            self.fields[used].help_text = _(
                "Reckoned from the area and what it covers here; correct what you measured."
            )

    def _cans(self, kind: ProductKind | None) -> dict[int, tuple[Can, ...]]:
        today = timezone.localtime(self.at_hand.now).date()
        stores, products = self.at_hand.work.world.stores, self.at_hand.setup.products
        wanted = (pk for pk, row in products.items() if pk in stores and (kind is None or row.kind == kind))
        found = {pk: stores[pk].pouring(today) for pk in wanted}
        return {pk: cans for pk, cans in found.items() if cans}

    def _proposed(self, product: int) -> str:
        spec, work = self.spec, self.at_hand.work
        of = work.world.products[product]
        amount = coat_amount(work, of, spec) if spec else None
        return format_quantity(amount, of.unit, self._units) if amount else ""

    def _said(self, can: Can, product: int) -> str:
        today = timezone.localtime(self.at_hand.now).date()
        unit = self.at_hand.work.world.products[product].unit
        left = {"left": format_quantity(can.holds, unit, self._units)}
        words = [gettext("open, %(left)s left") % left if can.opened else gettext("unopened, %(left)s") % left]
        if can.good_until:
            words.append(gettext("good until %(day)s") % {"day": day(can.good_until, today)})
        return ", ".join([*words, *filter(None, [can.label])])

    def _product_of(self, can: int | None) -> int | None:
        stores = self.at_hand.work.world.stores
        return next((pk for pk, stock in stores.items() if any(held.id == can for held in stock.cans)), None)

    def _named(self, product: int) -> str:
        return self.at_hand.work.world.products[product].name

    @property
    def _units(self) -> UnitSystem:
        return UnitSystem(self.at_hand.setup.shop.units)


def products_for(products: dict[int, Product], kind: ProductKind | None) -> Choices:
    """Products in use, those of a kind first and the rest in a group of their own."""
    active = [row for row in products.values() if row.active]
    wanted = [row for row in active if row.kind == kind]
    others = [row for row in active if row.kind != kind]
    first = sorted(wanted, key=lambda row: not row.usual)
    return [(row.pk, row.name) for row in first] + [(gettext("Others"), [(row.pk, row.name) for row in others])]
