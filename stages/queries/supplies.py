"""The supplies page in words: the boat drawn, the list, the order of work with its waits, tools and cautions."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.formats import number_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from hulls.lines import HullType, Principal, Sizes, measure
from hulls.materials import shop_materials
from hulls.measured_drawing import MeasuredDrawing, draw_measured
from hulls.skins import SkinKind
from hulls.takeoff import take_off
from shop.stored import stored
from shop.units import UnitSystem, format_area, format_length, format_temperature
from stages.advice import Answers, Job, Outside, Step, Wait, cautions_for, plan, steady_air, tools_for, waits_of
from stages.advice.cautions import Caution
from stages.advice.work import work_of
from stages.engine.airlog import AirLog
from stages.engine.label import Dryness
from stages.engine.products import Product
from stages.models import Route as RouteRow
from stages.queries.routes import engine_route
from stages.queries.supplies_needs import Needs, needs_of
from stages.queries.world import SetUp

HALF_DAYS_FROM_H = 48.0
WAITS = {
    Dryness.SAND: gettext_lazy("to sand"),
    Dryness.RECOAT: gettext_lazy("to the next coat"),
    Dryness.TOPCOAT: gettext_lazy("to what goes over it"),
    Dryness.HANDLE: gettext_lazy("before it is handled"),
}
EXAMPLE = Principal(length_m=4.88, beam_m=0.88, depth_m=0.31, end_depth_m=0.6)  # a sixteen-footer, for a first look


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What was asked: the boat, what it needs, the air that it is done in, and how to show amounts."""

    hull: Principal
    hull_type: HullType
    answers: Answers
    air_c: float
    rh_pct: float
    units: UnitSystem


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitWords:
    """One wait: what for, and how long."""

    what: str
    how_long: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepWords:
    """One step of the work in words; ``warning`` where its product does not go on, or does not dry, in this air."""

    name: str
    product: str
    coats: str
    pieces: int
    notes: tuple[str, ...]
    warning: str
    waits: tuple[WaitWords, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplies:
    """What the page shows of one boat."""

    drawn: MeasuredDrawing
    side: str
    cut: str
    sizes: tuple[tuple[str, str], ...]
    needs: Needs
    steps: tuple[StepWords, ...]
    air: str
    tools: tuple[str, ...]
    cautions: tuple[Caution, ...]


def supplies(asked: Asked, setup: SetUp) -> Supplies:
    """Say what a boat needs, in three queries and those of a route that was not read before.

    Parameters
    ----------
    asked : Asked
        The boat and the work.
    setup : SetUp
        The shop's set-up, for its products.
    """
    sizes = measure(asked.hull, asked.hull_type)
    job = _job(asked, setup)
    air = steady_air(asked.air_c, asked.rh_pct)
    return Supplies(
        drawn=draw_measured(asked.hull, asked.hull_type, _lengths(asked), _skin(asked.answers)),
        side=_("The boat from the side, %(length)s long") % {"length": format_length(asked.hull.length_m, asked.units)},
        cut=_("The boat cut amidships, %(beam)s wide") % {"beam": format_length(asked.hull.beam_m, asked.units)},
        sizes=tuple(_sizes(sizes, asked.units)),
        needs=needs_of(
            take_off(sizes, work_of(job), shop_materials()),
            asked.units,
            setup.shop.currency if setup.shop.supplies_prices else None,
        ),
        steps=tuple(_step(step, air, asked) for step in job.steps),
        air=_("%(air)s and %(rh)s %% humidity")
        % {"air": format_temperature(asked.air_c, asked.units), "rh": number_format(round(asked.rh_pct), 0)},
        tools=tuple(_(tool) for tool in tools_for(job)),
        cautions=tuple(
            Caution(key=caution.key, title=_(caution.title), text=_(caution.text)) for caution in cautions_for(job)
        ),
    )


def first_look(hull_type: HullType) -> MeasuredDrawing:
    """A boat of no one's, with the name of each measure where the tape is held."""
    names = {"length_m": _("length"), "beam_m": _("beam"), "depth_m": _("depth"), "end_depth_m": _("ends")}
    return draw_measured(EXAMPLE, hull_type, names, SkinKind.CANVAS)


def _job(asked: Asked, setup: SetUp) -> Job:
    row = RouteRow.objects.filter(current=True).first()
    if row is None:
        return Job(answers=asked.answers, steps=())
    world = setup.world
    products = {kind: world.products[pk] for kind, pk in world.usual.items()}
    return Job(answers=asked.answers, steps=plan(engine_route(row), asked.answers, products))


def _skin(answers: Answers) -> SkinKind:
    return SkinKind.OLD_PAINT if answers.outside is Outside.LEAVE else SkinKind.ENAMEL


def _lengths(asked: Asked) -> dict[str, str]:
    names = ("length_m", "beam_m", "depth_m", "end_depth_m")
    return {name: format_length(getattr(asked.hull, name), asked.units) for name in names}


def _sizes(sizes: Sizes, units: UnitSystem) -> Iterator[tuple[str, str]]:
    yield (
        _("Outside, both sides"),
        _("%(area)s, give or take %(pct)s %%")
        % {
            "area": format_area(sizes.outside_area_m2, units),
            "pct": number_format(math.ceil(sizes.spread_pct), 0),
        },
    )
    yield _("Inside"), format_area(sizes.inside_area_m2, units)
    yield _("Greatest girth, gunwale to gunwale round the keel"), format_length(sizes.greatest_girth_m, units)
    yield _("Gunwale, one side along the curve"), format_length(sizes.sheer_length_m, units)


def _step(step: Step, air: AirLog, asked: Asked) -> StepWords:
    spec, product, waits = step.spec, step.product, waits_of(step, air)
    counted = ngettext("%(n)s coat", "%(n)s coats", spec.coats) % {"n": spec.coats}
    return StepWords(
        name=stored(spec.name),
        product=stored(product.name) if product else "",
        coats=counted if product and product.label else "",
        pieces=asked.answers.count(spec.counted) if spec.counted else 0,
        notes=tuple(_notes(product)) if product else (),
        warning=_warning(product, waits, asked) if product and product.label else "",
        waits=tuple(
            WaitWords(what=str(WAITS[wait.dryness]), how_long=hours_words(wait.hours))
            for wait in waits
            if wait.hours is not None
        ),
    )


def _notes(product: Product) -> Iterator[str]:
    if product.smoothed_wet:
        yield _("Smoothed wet; it sands badly.")
    if product.dry_days_outdoors:
        days = product.dry_days_outdoors
        yield ngettext("%(n)s day without rain outdoors.", "%(n)s days without rain outdoors.", days) % {"n": days}


def _warning(product: Product, waits: tuple[Wait, ...], asked: Asked) -> str:
    label, limits = product.label, product.air
    if label is not None and asked.air_c < label.lowest_c:
        lowest = format_temperature(label.lowest_c, asked.units)
        return _("Not in your air: under %(lowest)s it stands still.") % {"lowest": lowest}
    if any(wait.hours is None for wait in waits):
        return _("Not in your air: it would not dry.")
    if limits.lowest_c <= asked.air_c <= limits.highest_c and asked.rh_pct <= limits.most_rh_pct:
        return ""
    return _("Not in your air: it goes on between %(low)s and %(high)s, at most %(rh)s %% humidity.") % {
        "low": format_temperature(limits.lowest_c, asked.units),
        "high": format_temperature(limits.highest_c, asked.units),
        "rh": number_format(round(limits.most_rh_pct), 0),
    }


def hours_words(hours: float) -> str:
    """A wait, rounded up: "2.5 h", "16 h", "3.5 days"."""
    if hours <= HALF_DAYS_FROM_H:
        full = math.ceil(hours * 2 - 1e-6) / 2 if hours < 10 else float(math.ceil(hours - 1e-6))
        return _("%(hours)s h") % {"hours": number_format(full, 0 if full.is_integer() else 1)}
    days = math.ceil(hours / 12 - 1e-6) / 2
    return _("%(days)s days") % {"days": number_format(days, 0 if days.is_integer() else 1)}
