"""How good the shop's dates were: what was told of each boat, held against the day on which it was handed over."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import fmean

from django.utils import timezone

from stages.models import HullDates, HullWork
from stages.models.plans import Days
from stages.planner.scores import HitShare, interval_score, pinball

AHEAD_DAYS = 14  # what was told two weeks before counts: of the last days anybody knows
LATEST = 100  # boats, the last handed over
SHARE = 0.8  # of boats that the range from early to late should hold
LEFT, WIDTH, ROW = 72, 516, 26  # of the picture, px


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One boat: what was told of it, and when it was handed over."""

    tag: str
    name: str
    told_on: date
    early: date
    likely: date
    late: date
    promised: date | None
    done: date

    @property
    def held(self) -> bool:
        """Whether the range held."""
        return self.early <= self.done <= self.late

    @property
    def off_days(self) -> int:
        """Days by which it was later than what was told as likely; below zero it was sooner."""
        return (self.done - self.likely).days


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A boat in the picture: where its range lies, its likely day and the day that came, px from the left."""

    boat: Judged
    y: int
    early_x: int
    width: int
    likely_x: int
    done_x: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """How good the dates were.

    Parameters
    ----------
    boats : tuple of Drawn
        The last handed over first.
    hits : HitShare
        How often the range from early to late held the day.
    kept : HitShare or None
        How often what was promised was kept; None without promises.
    range_days, interval_days : float
        Mean length of the ranges, and mean interval score: smaller is better, days.
    early_days, likely_days, late_days : float
        Mean pinball losses of the three dates, days.
    off_days : float
        Mean of how much later than likely boats were, days.
    """

    boats: tuple[Drawn, ...]
    hits: HitShare
    kept: HitShare | None
    range_days: float
    interval_days: float
    early_days: float
    likely_days: float
    late_days: float
    off_days: float

    @property
    def between_pct(self) -> tuple[int, int]:
        """Where the true share of hits lies with 95 % confidence, %."""
        low, high = self.hits.between
        return round(100 * low), round(100 * high)

    @property
    def bar_pct(self) -> int:
        """Length of the bar between, %."""
        return self.between_pct[1] - self.between_pct[0]

    @property
    def fits(self) -> bool:
        """Whether four boats in five may well be true."""
        low, high = self.hits.between
        return low <= SHARE <= high

    @property
    def height(self) -> int:
        """Of the picture, px."""
        return ROW * len(self.boats)


def calibration() -> Calibration | None:
    """What is known of it, in two queries; None before the first boat of which something was told."""
    judged = tuple(_judged())
    if not judged:
        return None
    promised = [boat for boat in judged if boat.promised]
    kept = sum(boat.promised is not None and boat.done <= boat.promised for boat in promised)
    losses = [_losses(boat) for boat in judged]
    early, likely, late, interval = (fmean(column) for column in zip(*losses, strict=True))
    return Calibration(
        boats=tuple(_drawn(judged)),
        hits=HitShare(hits=sum(boat.held for boat in judged), of=len(judged)),
        kept=HitShare(hits=kept, of=len(promised)) if promised else None,
        range_days=fmean((boat.late - boat.early).days for boat in judged),
        interval_days=interval,
        early_days=early,
        likely_days=likely,
        late_days=late,
        off_days=fmean(boat.off_days for boat in judged),
    )


def _judged() -> Iterator[Judged]:
    """Boats that were handed over, with the dates that held two weeks before, or the first that were told."""
    done = HullWork.objects.filter(handed_over_at__isnull=False).select_related("hull")
    works = list(done.order_by("-handed_over_at")[:LATEST])
    told: dict[int, list[tuple[HullDates, Days]]] = {}
    for row in HullDates.objects.filter(hull__in=[work.pk for work in works]).order_by("made_at", "pk"):
        if days := row.days:
            told.setdefault(row.hull_id, []).append((row, days))
    for work in works:
        handed_over = work.handed_over_at
        rows = [one for one in told.get(work.pk, []) if handed_over and one[0].made_at < handed_over]
        if not rows or handed_over is None:
            continue
        before = [one for one in rows if one[0].made_at <= handed_over - timedelta(days=AHEAD_DAYS)]
        row, days = before[-1] if before else rows[0]
        yield Judged(
            tag=work.hull.tag,
            name=work.hull.name,
            told_on=timezone.localdate(row.made_at),
            early=days.early,
            likely=days.likely,
            late=days.late,
            promised=row.promised_on,
            done=timezone.localdate(handed_over),
        )


def _losses(boat: Judged) -> tuple[float, float, float, float]:
    """Pinball losses of early, likely and late, and the interval score, days."""
    early, likely, late, done = (float(day.toordinal()) for day in (boat.early, boat.likely, boat.late, boat.done))
    return (
        pinball(early, done, 0.1),
        pinball(likely, done, 0.5),
        pinball(late, done, 0.9),
        interval_score(early, late, done, 1 - SHARE),
    )


def _drawn(boats: tuple[Judged, ...]) -> Iterator[Drawn]:
    """All boats on one scale: days since what was told as likely, so that its line is straight."""
    offs = [(day - boat.likely).days for boat in boats for day in (boat.early, boat.late, boat.done)]
    first, last = min(-1, *offs), max(1, *offs)

    def x(boat: Judged, day: date) -> int:
        return LEFT + round(WIDTH * ((day - boat.likely).days - first) / (last - first))

    for number, boat in enumerate(boats):
        early_x, late_x = x(boat, boat.early), x(boat, boat.late)
        yield Drawn(
            boat=boat,
            y=ROW * number + ROW // 2,
            early_x=early_x,
            width=max(2, late_x - early_x),
            likely_x=x(boat, boat.likely),
            done_x=x(boat, boat.done),
        )
