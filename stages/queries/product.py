"""A product as its page tells it: its label, what the shop has learnt of it, its film and its solvent."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from django.utils.formats import number_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from hulls.takeoff import film
from shop.models import Product, Shop
from shop.units import UnitSystem, convert, format_temperature, format_volume
from stages.engine.label import Dryness, Label
from stages.engine.learning import Seen, ShopFactor
from stages.engine.rules.dry import STEPS
from stages.queries.fumes import share_of, solvent_of
from stages.queries.learnt import Trial, trials
from stages.queries.pictured import label_hours
from stages.queries.sheet_steps import caution_of
from stages.queries.world import Around
from stages.saying import when

MOST_TRIALS = 50  # shown, the latest first; all of them count
NAMES = {
    Dryness.TACK_FREE: gettext_lazy("tack-free"),
    Dryness.SAND: gettext_lazy("dry to sand"),
    Dryness.RECOAT: gettext_lazy("dry to recoat"),
    Dryness.TOPCOAT: gettext_lazy("dry to be covered by another kind"),
    Dryness.HANDLE: gettext_lazy("dry to handle"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursRow:
    """One of the label's hours, and what it comes to in this shop."""

    name: str
    label: str
    here: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialRow:
    """One trial of a coat of it in words; ``counts`` is False where its air was not measured."""

    tag: str
    when: str
    by: str
    found: str
    age: str
    counts: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ProductPage:
    """What the page of a product shows; empty where its label or data sheet is silent."""

    product: Product
    caution: str
    at: str
    hours: tuple[HoursRow, ...]
    window: str
    table: tuple[tuple[str, str], ...]
    temperature: str
    air: str
    factor: str
    trials: tuple[TrialRow, ...]
    usage: str
    film: tuple[tuple[str, str], ...]
    solvent: tuple[tuple[str, str], ...]


class Poured(NamedTuple):
    """A pot, and the spreading rates behind it: with what is lost on the way, and without."""

    pot: film.Pot
    practical_m2_per_l: float
    theoretical_m2_per_l: float


def product_page(*, product: Product, shop: Around, now: datetime) -> ProductPage:
    """The page of a product, in two queries, or one where none of it was ever tried.

    Parameters
    ----------
    product : Product
        The product.
    shop : Around
        The shop, for its units and what it learnt.
    now : datetime
        The moment, aware.
    """
    units = UnitSystem(shop.setup.shop.units)
    engine = shop.world.products.get(product.pk)
    label = engine.label if engine else None
    at = {"air": format_temperature(product.reference_c, units), "rh": f"{product.reference_rh_pct:.0f}"}
    return ProductPage(
        product=product,
        caution=caution_of(product.caution),
        at=_("%(air)s and %(rh)s %%") % at if label else "",
        hours=tuple(_hours(label, engine.factor)) if engine and label else (),
        window=label_hours(label.window_h) if label and label.window_h else "",
        table=tuple((format_temperature(celsius, units), label_hours(hours)) for celsius, hours in label.table)
        if label
        else (),
        temperature=_answers(product, units) if label else "",
        air=_air(product, units) if label else "",
        factor=_factor(shop.setup.learnt.get(product.pk)) if label else "",
        trials=tuple(_trial(trial, label, now) for trial in trials(product.pk)[:MOST_TRIALS]),
        usage=_usage(shop.setup.usage.get(product.pk)) if product.spread_m2_per_unit else "",
        film=tuple(_film(product, units)),
        solvent=tuple(_solvent(product)),
    )


def _hours(label: Label, factor: float) -> Iterator[HoursRow]:
    for dryness, hours in dict(label.hours).items():
        here = hours * label.film_factor * factor
        yield HoursRow(name=capfirst(str(NAMES[dryness])), label=label_hours(hours), here=label_hours(here))


def _factor(learnt: ShopFactor | None) -> str:
    """What the shop has learnt of a product, with how sure it is."""
    if learnt is None:
        return _("Nothing was learnt of it yet: its label counts as it stands.")
    words = ngettext(
        "%(factor)s times the label’s hours, likely between %(low)s and %(high)s, from %(n)s trial.",
        "%(factor)s times the label’s hours, likely between %(low)s and %(high)s, from %(n)s trials.",
        learnt.count,
    )
    low, high = number_format(learnt.low, 2), number_format(learnt.high, 2)
    return words % {"factor": number_format(learnt.factor, 2), "low": low, "high": high, "n": learnt.count}


def _usage(learnt: ShopFactor | None) -> str:
    """How much a coat of it takes here, against its label, with how sure that is."""
    if learnt is None:
        return _("Nobody has measured a coat of it yet: its spreading rate counts as it stands.")
    words = ngettext(
        "%(factor)s times what the label says a coat takes, likely %(low)s to %(high)s, from %(n)s measured coat.",
        "%(factor)s times what the label says a coat takes, likely %(low)s to %(high)s, from %(n)s measured coats.",
        learnt.count,
    )
    low, high = number_format(learnt.low, 2), number_format(learnt.high, 2)
    return words % {"factor": number_format(learnt.factor, 2), "low": low, "high": high, "n": learnt.count}


def _trial(trial: Trial, label: Label | None, now: datetime) -> TrialRow:
    found = _("still too soft to %(step)s") if trial.seen is Seen.TACKY else _("dry enough to %(step)s")
    observation = trial.observation(label)
    age = {"age": label_hours(trial.age_h), "needed": label_hours(observation.needed_h) if observation else ""}
    return TrialRow(
        tag=trial.tag,
        when=when(trial.at, now),
        by=trial.by,
        found=capfirst(found % {"step": _(STEPS[trial.dryness])}),
        age=_("%(age)s of %(needed)s") % age if observation else _("not counted: its air was not measured"),
        counts=observation is not None,
    )


def _number(value: float) -> str:
    """A number without decimals that say nothing."""
    return number_format(f"{value:g}")


def _answers(product: Product, units: UnitSystem) -> str:
    """How its drying answers to temperature."""
    if product.label_table:
        return _("by the label’s own table")
    if product.family == "water":
        return _("by how much more vapour the air could take up")
    if product.activation_kj_mol:
        return _("by Arrhenius’ law, %(energy)s kJ/mol") % {"energy": _number(product.activation_kj_mol)}
    warmer = f"{convert(10.0, 'delta_degC', 'delta_degF'):.0f} °F" if units is UnitSystem.US else "10 °C"
    return _("%(times)s times as fast for each %(warmer)s more") % {
        "times": _number(product.q10),
        "warmer": warmer,
    }


def _air(product: Product, units: UnitSystem) -> str:
    low, high = (format_temperature(celsius, units) for celsius in (product.lowest_c, product.highest_c))
    return _("%(low)s to %(high)s, at most %(rh)s %% humidity") % {
        "low": low,
        "high": high,
        "rh": f"{product.most_rh_pct:.0f}",
    }


def _film(product: Product, units: UnitSystem) -> Iterator[tuple[str, str]]:
    if product.solids_pct:
        yield _("Solids"), _("%(pct)s %% of the volume") % {"pct": _number(product.solids_pct)}
    if product.spread_m2_per_unit:
        yield _("Spreading rate, by the label"), _spread(product, units)
    if product.dry_film_um:
        thou = _number(round(convert(product.dry_film_um, "micrometer", "thou"), 1))
        film = _("%(thou)s thousandths of an inch") % {"thou": thou}
        yield _("Dry film of one coat"), film if units is UnitSystem.US else f"{_number(product.dry_film_um)} µm"
    if product.film_factor != 1.0:
        yield (
            _("Film as it is laid here"),
            _("%(times)s times the hours") % {"times": _number(product.film_factor)},
        )


def _spread(product: Product, units: UnitSystem) -> str:
    rate = product.spread_m2_per_unit or 0.0
    if units is UnitSystem.US and product.unit == "L":
        return f"{convert(rate, 'meter**2/liter', 'foot**2/gallon'):.0f} ft²/gal"
    return f"{_number(rate)} m²/{product.get_unit_display()}"


def _solvent(product: Product) -> Iterator[tuple[str, str]]:
    solvent = solvent_of(product)
    if solvent is None:
        return
    share = {"grams": _number(product.solvent_g_l or 0.0), "pct": f"{100 * share_of(product, solvent):.0f}"}
    yield _("Solvent"), _("%(grams)s g in a litre, %(pct)s %% of the volume") % share
    yield _("Lower explosive limit"), _("%(pct)s %% of the air") % {"pct": _number(solvent.lel_pct)}
    yield _("By"), solvent.source


def poured(found: Poured | None, shop: Shop) -> tuple[tuple[str, str], ...]:
    """What to pour out, and how it spreads, each with its name; nothing where nothing was asked."""
    return tuple(_poured(found, UnitSystem(shop.units))) if found else ()


def _poured(found: Poured, units: UnitSystem) -> Iterator[tuple[str, str]]:
    pot = found.pot
    yield _("Product"), format_volume(pot.product_l, units)
    if pot.thinner_l:
        yield _("Thinner"), format_volume(pot.thinner_l, units)
    thou = f"{convert(pot.wet_um, 'micrometer', 'thou'):.1f}"
    wet = _("%(film)s thousandths of an inch") % {"film": thou} if units is UnitSystem.US else f"{pot.wet_um:.0f} µm"
    yield _("Lay it wet"), wet
    yield _("It spreads"), _spreads(found.practical_m2_per_l, units)
    yield _("Without any loss"), _spreads(found.theoretical_m2_per_l, units)


def _spreads(m2_per_l: float, units: UnitSystem) -> str:
    if units is UnitSystem.METRIC:
        return f"{m2_per_l:.1f} m²/L"
    return f"{convert(m2_per_l, 'meter**2/liter', 'foot**2/gallon'):.0f} ft²/gal"
