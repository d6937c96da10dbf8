"""Promises that are in danger, by the newest forecast of each hull."""

from dataclasses import dataclass
from datetime import date

from django.db.models import F, OuterRef, Subquery

from shop.models import Shop
from stages.models import HullDates


@dataclass(frozen=True, slots=True, kw_only=True)
class InDanger:
    """A hull whose promise has a chance under the shop's limit."""

    tag: str
    promised: date | None
    likely: date
    chance_pct: float


def in_danger(shop: Shop) -> tuple[InDanger, ...]:
    """The hulls in the shop whose promise will hardly be kept, the least likely first; in one query."""
    newest = HullDates.objects.filter(hull=OuterRef("hull")).order_by("-made_at", "-pk").values("pk")[:1]
    rows = HullDates.objects.filter(
        pk=Subquery(newest),
        chance_pct__lt=shop.promise_limit_pct,
        promised_on=F("hull__promised_on"),  # a promise that was changed since is not judged yet
        hull__work__handed_over_at=None,
        hull__work__isnull=False,
    ).order_by("chance_pct", "hull__tag")
    found = rows.values_list("hull__tag", "promised_on", "likely_on", "chance_pct")
    return tuple(InDanger(tag=tag, promised=on, likely=likely, chance_pct=pct or 0.0) for tag, on, likely, pct in found)
