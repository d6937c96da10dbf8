"""Promises that are in danger, by the newest forecast of each hull."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Case, F, OuterRef, Subquery, When

from shop.models import Shop
from stages.models import HullDates
from stages.queries.dates import in_words


@dataclass(frozen=True, slots=True, kw_only=True)
class InDanger:
    """A hull whose promise has a chance under the shop's limit, or for which no day can be named, and why."""

    tag: str
    promised: date | None
    chance_pct: float
    no_date: str


def in_danger(shop: Shop) -> tuple[InDanger, ...]:
    """The hulls in the shop whose promise will hardly be kept, in one query.

    Those without a date stand first, by why; then the least likely.
    """
    newest = HullDates.objects.filter(hull=OuterRef("hull")).order_by("-made_at", "-pk").values("pk")[:1]
    chance = Case(When(likely_on=None, then=0.0), default=F("chance_pct"))
    rows = HullDates.objects.annotate(chance=chance).filter(
        pk=Subquery(newest),
        chance__lt=shop.promise_limit_pct,
        promised_on=F("hull__promised_on"),  # a promise that was changed since is not judged yet
        hull__work__handed_over_at=None,
        hull__work__isnull=False,
    )
    found = rows.values_list("hull__tag", "promised_on", "chance", "no_date")
    boats = (InDanger(tag=tag, promised=on, chance_pct=pct, no_date=in_words(why)) for tag, on, pct, why in found)
    return tuple(sorted(boats, key=lambda boat: (not boat.no_date, boat.no_date, boat.chance_pct, boat.tag)))
