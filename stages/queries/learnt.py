"""What the crew found when it tried coats, read from the log, and the shop's factors that follow from it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from stages.engine.label import Dryness, Label
from stages.engine.learning import Observation, Seen, ShopFactor, learn
from stages.engine.log import EntryKind
from stages.models import Entry

MOST_ASSUMED = 0.1  # of the time that a coat stood; with more of it unmeasured, its age says too little


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One trial of a coat, in force: where it stands in the log, and what was found.

    ``age_h`` is the coat's age by the label, ``stood_h`` the hours by the clock on the wall, ``assumed_h`` those of
    them in which nobody measured the air.
    """

    tag: str
    number: int
    at: datetime
    by: str
    product: int
    coat: int
    surface: str
    dryness: Dryness
    seen: Seen
    age_h: float
    stood_h: float
    assumed_h: float

    def observation(self, label: Label | None) -> Observation | None:
        """What the trial teaches by a label; None where its air was not measured, or the label does not say."""
        needed_h = label.hours_to(self.dryness) if label else None
        if needed_h is None or self.age_h <= 0 or self.assumed_h > MOST_ASSUMED * self.stood_h:
            return None
        return Observation(age_h=self.age_h, needed_h=needed_h, seen=self.seen)


def trials(product: int | None = None) -> list[Trial]:
    """Every trial in force, of one product or of all, the latest first; in two queries, or one where there is none."""
    rows = Entry.objects.filter(kind=EntryKind.SEEN).select_related("hull", "by").order_by("-at", "-pk")
    if product is not None:
        rows = rows.filter(details__product=product)
    tried = list(rows)
    struck = _struck({row.hull_id for row in tried})
    return [
        _trial(row)
        for row in tried
        if row.number not in struck[row.hull_id] and row.details["coat"] not in struck[row.hull_id]
    ]


def shop_factors(labels: Mapping[int, Label | None]) -> dict[int, ShopFactor]:
    """The shop's factor for every product of which a trial teaches something.

    Parameters
    ----------
    labels : mapping of int to Label or None
        By product.
    """
    taught: dict[int, list[Observation]] = defaultdict(list)
    for trial in trials():
        found = trial.observation(labels.get(trial.product))
        if found:
            taught[trial.product].append(found)
    return {product: _learnt(tuple(found)) for product, found in taught.items()}


@lru_cache(maxsize=256)
def _learnt(observations: tuple[Observation, ...]) -> ShopFactor:
    return learn(observations)


def _struck(hulls: Iterable[int]) -> dict[int, set[int]]:
    """By hull, the numbers of the lines that were struck."""
    found: dict[int, set[int]] = defaultdict(set)
    hulls = set(hulls)
    if hulls:
        strikes = Entry.objects.filter(kind=EntryKind.STRIKE, hull_id__in=hulls)
        for hull, details in strikes.values_list("hull_id", "details"):
            found[hull].add(details["entry"])
    return found


def _trial(row: Entry) -> Trial:
    told = row.details
    return Trial(
        tag=row.hull.tag,
        number=row.number,
        at=row.at,
        by=row.by.called if row.by else "",
        product=told["product"],
        coat=told["coat"],
        surface=told["surface"],
        dryness=Dryness(told["dryness"]),
        seen=Seen(told["seen"]),
        age_h=told["age_h"],
        stood_h=told["stood_h"],
        assumed_h=told["assumed_h"],
    )
