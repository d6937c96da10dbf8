"""The earliest day on which each stage could begin, were hands always free: what must be in the shop by then."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from stages.engine.assess import StageStatus
from stages.engine.label import Dryness
from stages.engine.vocab import State
from stages.engine.work import Work

HOURS_A_DAY = 6.0  # that hands are at one hull in a working day. Common practice, no published source.
OVER = frozenset({State.FINISHED, State.LEFT_OUT})


def earliest_starts(work: Work, statuses: Sequence[StageStatus], now: datetime) -> Mapping[str, datetime]:
    """Give when each open stage could begin at the earliest.

    Parameters
    ----------
    work : Work
        The hull in its shop.
    statuses : sequence of StageStatus
        Its stages as they stand, in the order of the route.
    now : datetime
        The moment, aware.

    Returns
    -------
    mapping of str to datetime
        By key of the stage; never before now, nor before the rules say that it may. The longest way through the
        stages before it: their hours of work, the hours of the label from coat to coat, and the days outdoors.
    """
    by_key = {status.spec.key: status for status in statuses}
    starts: dict[str, datetime] = {}

    def start(key: str) -> datetime:
        if key not in starts:
            status = by_key[key]
            before = (start(k) + _lasts(work, by_key[k]) for k in status.spec.after)
            starts[key] = max((now, status.earliest or now, *before))
        return starts[key]

    return {key: start(key) for key, status in by_key.items() if status.state not in OVER}


def _lasts(work: Work, status: StageStatus) -> timedelta:
    """How long a stage takes at least from where it stands; nothing for one that is over."""
    if status.state in OVER:
        return timedelta()
    spec = status.spec
    product = work.product_for(spec) if spec.coats else None
    label, left = product.label if product else None, spec.coats - status.record.coats_on
    dries_h = left * ((label.hours_to(Dryness.RECOAT) or 0.0) if label else 0.0)
    days = status.hours / HOURS_A_DAY + (product.dry_days_outdoors if product and left else 0)
    return timedelta(days=days, hours=dries_h)
