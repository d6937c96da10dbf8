"""How long a drawn floor stays true: until the next write, or until time alone changes something that it shows."""

import math
from collections.abc import Iterable
from datetime import datetime, time, timedelta

from shop.models import Pulse
from stages.engine.airlog import AirLog
from stages.engine.assess import StageStatus, headline
from stages.engine.vocab import Surface
from stages.engine.work import Work
from stages.queries.steps import RING_STEP, ring_pct
from stages.queries.work import InWork
from stages.queries.world import Around

FRESH = timedelta(hours=6)  # an older reading is shown with its time
LEAST_WAIT = timedelta(seconds=30)  # between two steps of rings


def version_of(pulse: Pulse, until: datetime) -> str:
    """The version of what was drawn under these stamps and holds until a moment."""
    return f"{pulse.beat}-{math.ceil(until.timestamp())}"


def still_shows(version: str, pulse: Pulse, now: datetime) -> bool:
    """Whether a floor of this version shows what it would show if it were drawn now."""
    beat, _dash, until = version.rpartition("-")
    return beat == pulse.beat and until.isdecimal() and len(until) < 12 and now.timestamp() < int(until)


def holds_until(shop: Around, found: Iterable[tuple[InWork, tuple[StageStatus, ...]]], now: datetime) -> datetime:
    """The first moment at which time alone changes what is shown; at the latest midnight, when "today" ends.

    Parameters
    ----------
    shop : Around
        The shop.
    found : iterable of (InWork, tuple of StageStatus)
        The hulls that are shown, assessed.
    now : datetime
        The moment at which they were, aware.
    """
    tz = shop.setup.shop.zone_info
    moments = [datetime.combine(now.astimezone(tz).date() + timedelta(days=1), time(), tz)]
    for item, statuses in found:
        moments += _changes(item.work, statuses)
        moments += _ring_moves(headline(statuses), now)
    reads = [read_at(log, now) for log in shop.world.air.values()]
    moments += [at + FRESH for at in reads if at]
    return min(moment for moment in moments if moment > now)


def read_at(log: AirLog | None, now: datetime) -> datetime | None:
    """When the air of a zone was read last."""
    before = int(log.seconds[: log.measured].searchsorted(now.timestamp(), "right")) if log else 0
    return datetime.fromtimestamp(float(log.seconds[before - 1]), now.tzinfo) if log and before else None


def _changes(work: Work, statuses: Iterable[StageStatus]) -> Iterable[datetime]:
    """When coats get dry, findings clear and recoat windows close; past moments too."""
    for status in statuses:
        if status.drying and status.drying.at:
            yield status.drying.at
        yield from (finding.earliest for finding in status.findings if finding.earliest)
    for top in filter(None, map(work.state.top, Surface)):
        closes = work.window_closed_at(top)
        if closes:
            yield closes


def _ring_moves(head: StageStatus | None, now: datetime) -> Iterable[datetime]:
    """About when the ring of a drying coat takes its next step; it need not be exact."""
    drying = head.drying if head else None
    if drying and drying.at and drying.share < 1:
        step = (ring_pct(drying.share) + RING_STEP) / 100 - drying.share
        yield max(now + (drying.at - now) * (step / (1 - drying.share)), now + LEAST_WAIT)
