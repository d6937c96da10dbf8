"""The dry clock: equivalent age of a coat over the logged air, and when it will have reached a dryness.

The method is that of concrete's maturity (ASTM C1074): age = integral of rate(air temperature, humidity) dt, in hours
at the label's reference condition, from the moment the coat went on. The coat is dry when its age reaches the label's
hours.
"""

import math
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from stages.engine.agecurve import curve_of
from stages.engine.airlog import DAY_S, AirLog, seconds_of
from stages.engine.cure import rate
from stages.engine.errors import EngineError
from stages.engine.label import Dryness, Label

__all__ = ["Age", "DryTime", "age", "dry_at", "rate", "share", "window_closes_at"]

HORIZON_DAYS = 400.0


@dataclass(slots=True, frozen=True, kw_only=True)
class Age:
    """How far a coat has dried.

    Parameters
    ----------
    hours : float
        Equivalent age, hours at the label's reference condition.
    assumed_h : float
        Hours of the clock on the wall in which nobody measured the air.
    """

    hours: float
    assumed_h: float


@dataclass(slots=True, frozen=True, kw_only=True)
class DryTime:
    """When a coat reaches a dryness.

    Parameters
    ----------
    at : datetime or None
        The moment, in the time zone of the coat's own; None when it would not be reached within the horizon, or the
        label does not say.
    assumed : bool
        Part of the way there runs in air that nobody measured.
    needed_h : float or None
        Age that it takes, hours at the reference; None when the label does not say.
    projected : bool
        The moment lies after the last reading.
    """

    at: datetime | None
    assumed: bool
    needed_h: float | None
    projected: bool = False


def age(label: Label, log: AirLog, applied_at: datetime, until: datetime, factor: float = 1.0) -> Age:
    """Give the equivalent age of a coat.

    Parameters
    ----------
    label : Label
        How the product dries.
    log : AirLog
        The air where the coat stood.
    applied_at, until : datetime
        From the moment it went on to the moment asked for, each with its time zone.
    factor : float
        How many times the label's hours this product takes in this shop.

    Returns
    -------
    Age
        Its age; 0 before it went on.

    Raises
    ------
    EngineError
        A moment without a time zone, or a factor that is not over zero.
    """
    _check_factor(factor)
    start_s, end_s = seconds_of(applied_at), seconds_of(until)
    if end_s <= start_s:
        return Age(hours=0.0, assumed_h=0.0)
    curve = curve_of(label, log)
    hours = (curve.age_h(end_s) - curve.age_h(start_s)) / factor
    return Age(hours=hours, assumed_h=log.assumed_h(start_s, end_s))


def dry_at(
    label: Label,
    log: AirLog,
    applied_at: datetime,
    dryness: Dryness,
    factor: float = 1.0,
    horizon_days: float = HORIZON_DAYS,
    *,
    done_h: float = 0.0,
) -> DryTime:
    """Give when a coat reaches a dryness: the exact inverse of `age`.

    Parameters
    ----------
    label, log, applied_at, factor
        As for `age`.
    dryness : Dryness
        The state asked for.
    horizon_days : float
        How far to look, days after the coat went on.
    done_h : float
        Age that the coat brings from another zone, hours as `age` gives them at factor 1.

    Returns
    -------
    DryTime
        The moment and how it came about.
    """
    want = _Want(label.hours_to(dryness), factor, done_h, horizon_days)
    return _reached(label, log, applied_at, want)


def share(
    label: Label, log: AirLog, applied_at: datetime, now: datetime, dryness: Dryness, factor: float = 1.0
) -> float:
    """Give how much of the way to a dryness is done, 0 to 1; 0 when the label does not say."""
    needed_h = label.hours_to(dryness)
    if needed_h is None:
        return 0.0
    return min(1.0, age(label, log, applied_at, now, factor).hours / needed_h)


def window_closes_at(
    label: Label, log: AirLog, applied_at: datetime, factor: float = 1.0, *, done_h: float = 0.0
) -> datetime | None:
    """Give when the recoat window closes, None when there is none or it stays open.

    A thicker film does not keep it open longer, which is the safe side: past it the coat is sanded.
    """
    return _reached(label, log, applied_at, _Want(label.window_h, factor, done_h, HORIZON_DAYS)).at


class _Want(NamedTuple):
    needed_h: float | None
    factor: float
    done_h: float
    horizon_days: float


def _reached(label: Label, log: AirLog, applied_at: datetime, want: _Want) -> DryTime:
    _check_factor(want.factor)
    start_s = seconds_of(applied_at)
    if want.needed_h is None:
        return DryTime(at=None, assumed=log.is_empty, needed_h=None)
    curve = curve_of(label, log)
    end_s = start_s + want.horizon_days * DAY_S
    missing_h = max(0.0, want.needed_h * want.factor - want.done_h)
    moment_s = curve.moment_s(curve.age_h(start_s) + missing_h) if missing_h else start_s
    found = moment_s is not None and moment_s <= end_s
    reached_s = moment_s if moment_s is not None and found else end_s
    return DryTime(
        at=datetime.fromtimestamp(reached_s, applied_at.tzinfo) if found else None,
        assumed=log.assumed_h(start_s, reached_s) > 0.0,
        needed_h=want.needed_h,
        projected=log.measured_span_s is None or reached_s > log.measured_span_s[1],
    )


def _check_factor(factor: float) -> None:
    if not (math.isfinite(factor) and factor > 0.0):
        raise EngineError("factor", "The shop's factor must be a number over zero.")
