"""Whether a coat may go on in a zone's air: now, through its first hours, and if not, from when."""

import math
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from stages.engine.air import DAMP_AIR_PCT, DEW_MARGIN_C, FloatArray, margin_c
from stages.engine.airlog import DAY_S, HOUR_S, AirLog, seconds_of
from stages.engine.errors import EngineError

FIRST_HOURS = 4.0  # MIL-HDBK-1110 section 9.6.6 has the air read about every four hours
STEP_S = 900.0  # the margin bends a little between two readings: it is looked at this often
CUTS = 30
EDGE_S = STEP_S / CUTS**2
MINUTE_S = 60.0
TREND_HOURS = 3.0

Bools = npt.NDArray[np.bool_]


class Hindrance(StrEnum):
    """What keeps a coat off."""

    COLD = "cold"
    HOT = "hot"
    DAMP = "damp"
    DEW = "dew"


@dataclass(slots=True, frozen=True, kw_only=True)
class AirLimits:
    """Air that a coat may go on in.

    Parameters
    ----------
    lowest_c, highest_c : float
        Air and surface temperature, °C, of the product's sheet; the highest is from memory.
    most_rh_pct : float
        Highest relative humidity, %; 85 is customary.
    margin_c : float
        Least height of the surface over the dew point, K.
    """

    lowest_c: float = 5.0
    highest_c: float = 35.0
    most_rh_pct: float = DAMP_AIR_PCT
    margin_c: float = DEW_MARGIN_C

    def __post_init__(self) -> None:
        if not -30.0 <= self.lowest_c < self.highest_c <= 60.0:
            raise EngineError("lowest_c", "The lowest temperature must lie under the highest, and both be a shop's.")
        if not 0.0 < self.most_rh_pct <= 100.0:
            raise EngineError("most_rh_pct", "The highest humidity must lie over 0 and up to 100 %.")
        if not 0.0 <= self.margin_c <= 20.0:
            raise EngineError("margin_c", "The margin above the dew point must lie between 0 and 20 °C.")


@dataclass(slots=True, frozen=True, kw_only=True)
class PaintAir:
    """The air at one moment as a coat meets it.

    Parameters
    ----------
    at : datetime
        When.
    air_c, rh_pct, surface_c, margin_c : float
        Air, °C and %, surface, °C (the air's where none was read), and its height over the dew point, K.
    hindrances : tuple of Hindrance
        What keeps a coat off; empty when it may go on.
    ahead : bool
        The moment lies after the last reading.
    """

    at: datetime
    air_c: float
    rh_pct: float
    surface_c: float
    margin_c: float
    hindrances: tuple[Hindrance, ...]
    ahead: bool


@dataclass(slots=True, frozen=True, kw_only=True, eq=False)
class Course:
    """The air at many moments (seconds since 1970 UTC; °C, %, K), and which of them keep a coat off, by hindrance."""

    seconds: FloatArray
    air_c: FloatArray
    rh_pct: FloatArray
    surface_c: FloatArray
    margin_c: FloatArray

    @classmethod
    def of(cls, log: AirLog, seconds: FloatArray) -> "Course":
        """Give the air of a log at some moments; the surface is the air's where none was read."""
        air_c, rh_pct, surface_c = log.columns_at(seconds)
        surface_c = np.where(np.isnan(surface_c), air_c, surface_c)
        return cls(
            seconds=seconds,
            air_c=air_c,
            rh_pct=rh_pct,
            surface_c=surface_c,
            margin_c=margin_c(air_c, rh_pct, surface_c),
        )

    def hindered(self, limits: AirLimits) -> dict[Hindrance, Bools]:
        """Give, for each hindrance, at which moments it keeps a coat off."""
        coldest, hottest = np.minimum(self.air_c, self.surface_c), np.maximum(self.air_c, self.surface_c)
        return {
            Hindrance.COLD: coldest < limits.lowest_c,
            Hindrance.HOT: hottest > limits.highest_c,
            Hindrance.DAMP: self.rh_pct > limits.most_rh_pct,
            Hindrance.DEW: self.margin_c < limits.margin_c,
        }

    def moment(self, index: int, log: AirLog, limits: AirLimits, like: datetime) -> PaintAir:
        """Give one of the moments, in the time zone of another."""
        return PaintAir(
            at=datetime.fromtimestamp(float(self.seconds[index]), like.tzinfo),
            air_c=float(self.air_c[index]),
            rh_pct=float(self.rh_pct[index]),
            surface_c=float(self.surface_c[index]),
            margin_c=float(self.margin_c[index]),
            hindrances=tuple(name for name, bad in self.hindered(limits).items() if bad[index]),
            ahead=log.measured_span_s is None or float(self.seconds[index]) > log.measured_span_s[1],
        )


def paint_air(log: AirLog, moment: datetime, limits: AirLimits | None = None) -> PaintAir:
    """Give the air at a moment and what keeps a coat off.

    Parameters
    ----------
    log : AirLog
        The air of the zone.
    moment : datetime
        When, with its time zone.
    limits : AirLimits, optional
        The product's; the usual ones if left out.

    Returns
    -------
    PaintAir
        The air, with its hindrances.
    """
    return Course.of(log, np.array([seconds_of(moment)])).moment(0, log, limits or AirLimits(), moment)


def first_hindrance(
    log: AirLog, start: datetime, limits: AirLimits | None = None, *, hours: float = FIRST_HOURS
) -> PaintAir | None:
    """Give the first moment, to the second, of a coat's first hours at which the air keeps it off.

    Parameters
    ----------
    log : AirLog
        The air of the zone, with a projection for what lies ahead.
    start : datetime
        When the coat would go on.
    limits : AirLimits, optional
        The product's; the usual ones if left out.
    hours : float
        How long the air must hold.

    Returns
    -------
    PaintAir or None
        The moment and its hindrances; None when the coat may go on.
    """
    limits, start_s = limits or AirLimits(), seconds_of(start)
    spans = _refused_s(log, start_s, start_s + hours * HOUR_S, limits)
    if not spans:
        return None
    return Course.of(log, np.array([spans[0][0]])).moment(0, log, limits, start)


def clears_at(
    log: AirLog,
    start: datetime,
    limits: AirLimits | None = None,
    *,
    hours: float = FIRST_HOURS,
    horizon_days: float = 14.0,
) -> datetime | None:
    """Give the earliest moment from start on at which a coat may go on and stay through its first hours.

    Arguments as for `first_hindrance`; to the next whole minute, or None when there is none within the horizon.
    """
    limits, start_s = limits or AirLimits(), seconds_of(start)
    last_s = start_s + horizon_days * DAY_S
    clear_s = start_s
    for begin_s, end_s in _refused_s(log, start_s, last_s + hours * HOUR_S, limits):
        if clear_s + hours * HOUR_S <= begin_s - EDGE_S:
            break
        clear_s = math.ceil(end_s / MINUTE_S) * MINUTE_S
    return datetime.fromtimestamp(clear_s, start.tzinfo) if clear_s <= last_s else None


def refused_spans(
    log: AirLog, start: datetime, end: datetime, limits: AirLimits | None = None
) -> tuple[tuple[datetime, datetime], ...]:
    """Give the stretches of time, to the second, in which the air keeps a coat off.

    Parameters
    ----------
    log : AirLog
        The air of the zone, with a projection for what lies ahead.
    start, end : datetime
        From when to when, each with its time zone.
    limits : AirLimits, optional
        The product's; the usual ones if left out.

    Returns
    -------
    tuple of (datetime, datetime)
        In order, apart from one another, none beyond the end.
    """
    spans = _refused_s(log, seconds_of(start), seconds_of(end), limits or AirLimits())
    return tuple(
        (datetime.fromtimestamp(begin_s, start.tzinfo), datetime.fromtimestamp(end_s, start.tzinfo))
        for begin_s, end_s in spans
        if begin_s < end_s
    )


def _refused_s(log: AirLog, start_s: float, end_s: float, limits: AirLimits) -> list[tuple[float, float]]:
    """Give the refused stretches: the first refused moment of each, and the first that is not, or the end."""
    quarters = np.arange(start_s, end_s, STEP_S)
    # Between two readings air and humidity run straight, so that the extremes lie at readings.
    first, last = log.seconds.searchsorted((start_s, end_s))
    moments = np.unique(np.concatenate((quarters, log.seconds[first:last], [end_s])))
    bad = _refused(log, moments, limits)
    turns = np.flatnonzero(bad[1:] != bad[:-1])
    edges: list[float] = _turned(log, limits, moments[turns], moments[turns + 1], bad[turns]).tolist()
    if bad[0]:
        edges.insert(0, start_s)
    if bad[-1]:
        edges.append(end_s)
    return list(zip(edges[::2], edges[1::2], strict=True))


def _refused(log: AirLog, moments: FloatArray, limits: AirLimits) -> Bools:
    bad: Bools = np.any(list(Course.of(log, moments).hindered(limits).values()), axis=0)
    return bad


def _turned(log: AirLog, limits: AirLimits, before: FloatArray, after: FloatArray, bad_before: Bools) -> FloatArray:
    """Give when a refusal begins or ends in each of some stretches, at most `EDGE_S` late, in two questions."""
    each = np.arange(len(before))
    for _ in range(2):
        cuts = np.linspace(before, after, CUTS + 1, axis=1)
        turned = _refused(log, cuts.ravel(), limits).reshape(cuts.shape) != bad_before[:, None]
        first = turned[:, 1:].argmax(axis=1)
        before, after = cuts[each, first], cuts[each, first + 1]
    return after


def margin_trend_c_h(log: AirLog, moment: datetime, *, hours: float = TREND_HOURS) -> float:
    """Give how fast the margin above the dew point rose (negative: fell) over the last hours, K an hour."""
    now_s = seconds_of(moment)
    before, now = Course.of(log, np.array([now_s - hours * HOUR_S, now_s])).margin_c
    return float(now - before) / hours
