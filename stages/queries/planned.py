"""What the planned work of every hull in the shop still takes of each product, and from which day on."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime

from django.utils import timezone

from stages.engine.assess import assess
from stages.engine.earliest import OVER, earliest_starts
from stages.engine.usage import coat_amount
from stages.queries.work import InWork, in_work, rows_in_hand
from stages.queries.world import Around


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedNeed:
    """What one step of one hull takes of a product: how much in its unit, and the first day on which it could."""

    product: int
    amount: float
    on: date
    tag: str
    step: str


def planned_needs(shop: Around, now: datetime) -> list[PlannedNeed]:
    """Every coat that is still to go on by the plans of work, the soonest first; in three queries for all hulls."""
    hulls = in_work(rows_in_hand(), shop.world)
    found = [need for hull in hulls for need in _of_hull(hull, now)]
    return sorted(found, key=lambda need: (need.on, need.tag, need.step))


def _of_hull(hull: InWork, now: datetime) -> Iterator[PlannedNeed]:
    work = hull.work
    statuses = assess(work, now)
    starts = earliest_starts(work, statuses, now)
    for status in statuses:
        spec = status.spec
        product = work.product_for(spec) if spec.coats and status.state not in OVER else None
        left = spec.coats - status.record.coats_on
        if product is None or not product.counted or spec.surface is None or left <= 0:
            continue
        one = coat_amount(product, spec.surface, area_m2=work.area_m2, length_m=work.length_m)
        if one:
            on = timezone.localtime(starts[spec.key], work.world.zone_info).date()
            yield PlannedNeed(product=product.id, amount=one * left, on=on, tag=work.tag, step=spec.name)
