"""What the planned work of every hull in the shop still takes of each product, and from which day on."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Self

from django.utils import timezone

from hulls.materials import shop_materials
from hulls.sizes import sizes_of
from hulls.takeoff import Material, take_off
from shop.models import COATINGS, Product
from stages.advice.work import work_of_steps
from stages.engine.assess import assess
from stages.engine.earliest import OVER, earliest_starts
from stages.engine.route import StageSpec
from stages.engine.usage import rest_amount
from stages.queries.planned_days import Stage, planned_starts
from stages.queries.work import InWork, in_work, rows_in_hand
from stages.queries.world import Around


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedNeed:
    """What one step of one hull takes of a product: how much in its unit, and on which day."""

    product: int
    amount: float
    on: date
    tag: str
    step: str
    piece: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """What a take-off reads: the shop's materials, and by name the products that the shop keeps count of."""

    materials: tuple[Material, ...]
    counted: dict[str, int]

    @classmethod
    def now(cls) -> Self:
        """As they stand, in three queries."""
        rows = Product.objects.filter(active=True, counted=True).exclude(kind__in=COATINGS)
        return cls(materials=shop_materials(), counted=dict(rows.values_list("name", "pk")))


def planned_needs(shop: Around, now: datetime) -> list[PlannedNeed]:
    """What every step still takes by the plans of work, the soonest first; in seven queries for all hulls.

    A step needs them on the day that the plan gives it; without a plan, on the first day on which it could begin.
    Coats take what they will draw from the stores; everything else is the take-off of the step.
    """
    hulls, shelf = in_work(rows_in_hand(), shop.world), Shelf.now()
    planned = planned_starts(shop.world.zone_info)
    found = [need for hull in hulls for need in _of_hull(hull, shelf, now, planned)]
    return sorted(found, key=lambda need: (need.on, need.tag, need.step))


def _of_hull(hull: InWork, shelf: Shelf, now: datetime, planned: Mapping[Stage, date]) -> Iterator[PlannedNeed]:
    work = hull.work
    statuses = assess(work, now)
    starts = earliest_starts(work, statuses, now)
    for status in statuses:
        spec = status.spec
        if status.state in OVER:
            continue
        earliest = timezone.localtime(starts[spec.key], work.world.zone_info).date()
        on = max(earliest, planned.get((work.tag, spec.key), earliest))
        yield from _supplies(hull, spec, shelf, on)
        product = work.product_for(spec) if spec.coats else None
        amount = rest_amount(work, product, spec) if product and product.counted else None
        if product and amount:
            yield PlannedNeed(product=product.id, amount=amount, on=on, tag=work.tag, step=spec.name)


def _supplies(hull: InWork, spec: StageSpec, shelf: Shelf, on: date) -> Iterator[PlannedNeed]:
    """What a step takes beside its coats: abrasives, tacks, glue, timber and the like."""
    work = hull.work
    left = max(0, spec.coats - work.state.stage(spec.key).coats_on)
    count = work.state.counts.get(spec.counted, 0) if spec.counted else 0
    counts = {spec.counted: count} if spec.counted and count else {}
    found = take_off(sizes_of(hull.hull), work_of_steps((replace(spec, coats=left),), counts), shelf.materials)
    for item in found.items:
        if item.product in shelf.counted and item.amount > 0:
            yield PlannedNeed(
                product=shelf.counted[item.product],
                amount=item.amount,
                on=on,
                tag=work.tag,
                step=spec.name,
                piece=item.piece,
            )
