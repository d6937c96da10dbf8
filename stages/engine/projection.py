"""The air ahead: a zone's own recent day, or its heating, repeated; and how early or late a coat may be dry."""

import statistics
from dataclasses import dataclass, replace
from datetime import datetime, timedelta, tzinfo
from typing import Self

import numpy as np

from stages.engine.air import FloatArray, check_air, rh_when_at_pct
from stages.engine.airlog import DAY_S, HOUR_S, AirLog, seconds_of
from stages.engine.dryclock import DryTime, dry_at
from stages.engine.errors import EngineError
from stages.engine.label import Dryness, Label

RECENT_DAYS = 21
FADES_DAYS = 4.0  # a day this old counts a factor e less
FEWEST_HOURS = 12  # hours of the day that must have been read for a pattern
FEWEST_NIGHTS = 3
USUAL_NIGHTS_C = (
    2.5  # spread of an unheated shop's nights where too few were read; common practice, no published source
)
HEATED_NIGHTS_C = 1.0  # and of a heated room
NIGHT_HOURS = frozenset((*range(18, 24), *range(6)))
ONE_IN_TEN = 1.2816  # standard deviations to the 1-in-10 and 9-in-10 marks of a normal distribution


@dataclass(slots=True, frozen=True, kw_only=True)
class Projection:
    """One day of air, repeated, in a zone's local time.

    Parameters
    ----------
    air_c, rh_pct : tuple of 24 float
        Air temperature, °C, and relative humidity, %, at each hour of the local day; straight between the hours.
    nights_c : float
        Standard deviation of the nights' mean temperature from day to day, K.
    zone : tzinfo
        Time zone of the shop.
    from_days : int
        How many days of readings it rests on; 0 for a heating set-point or an assumption.
    """

    air_c: tuple[float, ...]
    rh_pct: tuple[float, ...]
    nights_c: float
    zone: tzinfo
    from_days: int = 0

    def __post_init__(self) -> None:
        if len(self.air_c) != 24 or len(self.rh_pct) != 24:
            raise EngineError("air_c", "A day's air has 24 hours.")
        for air_c, rh_pct in zip(self.air_c, self.rh_pct, strict=True):
            check_air(air_c, rh_pct)
        if not 0.0 <= self.nights_c < 30.0:
            raise EngineError("nights_c", "The spread of the nights must be a number of kelvin from 0.")

    @classmethod
    def steady(cls, air_c: float, rh_pct: float, zone: tzinfo, *, nights_c: float = HEATED_NIGHTS_C) -> Self:
        """Give a room held at one temperature and humidity, as by its heating."""
        return cls(air_c=(air_c,) * 24, rh_pct=(rh_pct,) * 24, nights_c=nights_c, zone=zone)

    @classmethod
    def recent(cls, log: AirLog, now: datetime, zone: tzinfo, *, days: int = RECENT_DAYS) -> Self:
        """Give the zone's own recent day.

        Parameters
        ----------
        log : AirLog
            The zone's readings.
        now : datetime
            Only readings up to now count, the more recent ones more.
        zone : tzinfo
            Time zone of the shop.
        days : int
            How far to look back, days.

        Returns
        -------
        Projection
            The day; where fewer than 12 hours of the day were read, the last air held.
        """
        hours = _hours_read(log, now, zone, days)
        if len({hour.of_day for hour in hours}) < FEWEST_HOURS:
            held = log.air_at(now)
            return cls.steady(held.air_c, held.rh_pct, zone, nights_c=USUAL_NIGHTS_C)
        pattern_c = _pattern(hours, [hour.air_c for hour in hours])
        pattern_pct = _pattern(hours, [hour.rh_pct for hour in hours])
        return cls(
            air_c=tuple(pattern_c),
            rh_pct=tuple(min(100.0, percent) for percent in pattern_pct),  # a mean of 100s may round to over 100
            nights_c=_nights_spread(hours, pattern_c),
            zone=zone,
            from_days=len({hour.night for hour in hours}),
        )

    def held_at(self, room_c: float) -> Self:
        """Give what this air becomes when the room is heated or cooled to one temperature; its vapour stays."""
        rh_pct = [rh_when_at_pct(air_c, rh, room_c) for air_c, rh in zip(self.air_c, self.rh_pct, strict=True)]
        return replace(self, air_c=(room_c,) * 24, rh_pct=tuple(rh_pct), nights_c=HEATED_NIGHTS_C)

    def dried_to(self, most_pct: float) -> Self:
        """Give the same day in a room whose humidity is held at so much or less, %, as by a dehumidifier."""
        return replace(self, rh_pct=tuple(min(rh, most_pct) for rh in self.rh_pct))

    def warmer(self, by_c: float) -> Self:
        """Give the same day warmer (negative: colder) throughout; its vapour stays as far as the air can hold it."""
        air_c = [min(59.0, max(-49.0, celsius + by_c)) for celsius in self.air_c]
        old = zip(self.air_c, self.rh_pct, air_c, strict=True)
        return replace(self, air_c=tuple(air_c), rh_pct=tuple(rh_when_at_pct(c, rh, new_c) for c, rh, new_c in old))

    def expected(self, seconds: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Give air temperature, °C, and relative humidity, %, at rising moments in seconds since 1970 UTC."""
        hours = np.mod(seconds + utc_offsets_s(seconds, self.zone), DAY_S) / HOUR_S
        of_day = np.arange(25)
        air_c = np.interp(hours, of_day, (*self.air_c, self.air_c[0]))
        rh_pct = np.interp(hours, of_day, (*self.rh_pct, self.rh_pct[0]))
        return air_c, rh_pct


def utc_offsets_s(seconds: FloatArray, zone: tzinfo) -> FloatArray:
    """Give the zone's offset from UTC, s, at each of some rising moments, asking the zone as little as can be."""
    offsets = np.empty(len(seconds))
    for begin in range(0, len(seconds), 168):
        part = seconds[begin : begin + 168]
        first, last = _offset_s(part[0], zone), _offset_s(part[-1], zone)
        # No zone changes its clocks there and back again within the week that 168 hourly moments make.
        same = first == last and part[-1] - part[0] < 8 * DAY_S
        offsets[begin : begin + 168] = first if same else [_offset_s(moment, zone) for moment in part]
    return offsets


def _offset_s(moment_s: float, zone: tzinfo) -> float:
    return (datetime.fromtimestamp(float(moment_s), zone).utcoffset() or timedelta()).total_seconds()


@dataclass(slots=True, frozen=True, kw_only=True)
class _Hour:
    """One full hour that was read: hour of the local day, the night it belongs to, its weight and its air."""

    of_day: int
    night: int
    weight: float
    air_c: float
    rh_pct: float


def _hours_read(log: AirLog, now: datetime, zone: tzinfo, days: int) -> list[_Hour]:
    if log.measured_span_s is None:
        return []
    now_s = seconds_of(now)
    end_s = min(now_s, log.measured_span_s[1])
    begin_s = max(now_s - days * DAY_S, log.measured_span_s[0])
    moments = np.arange(np.ceil(begin_s / HOUR_S), np.floor(end_s / HOUR_S) + 1) * HOUR_S
    measured = log.seconds[: log.measured]
    after = np.clip(measured.searchsorted(moments), 0, log.measured - 1)
    before = np.clip(measured.searchsorted(moments, "right") - 1, 0, log.measured - 1)
    read = measured[after] - measured[before] <= log.bridge_h * HOUR_S
    moments = moments[read]
    air_c = np.interp(moments, log.seconds, log.air_c)
    rh_pct = np.interp(moments, log.seconds, log.rh_pct)
    local_s = moments + utc_offsets_s(moments, zone)
    weights = np.exp((moments - now_s) / (FADES_DAYS * DAY_S))
    # A night runs from noon to noon.
    columns = (local_s // HOUR_S % 24, (local_s + 12 * HOUR_S) // DAY_S, weights, air_c, rh_pct)
    return [
        _Hour(of_day=int(hour), night=int(night), weight=weight, air_c=celsius, rh_pct=percent)
        for hour, night, weight, celsius, percent in zip(*(column.tolist() for column in columns), strict=True)
    ]


def _pattern(hours: list[_Hour], values: list[float]) -> list[float]:
    weights = np.zeros(24)
    sums = np.zeros(24)
    for hour, value in zip(hours, values, strict=True):
        weights[hour.of_day] += hour.weight
        sums[hour.of_day] += hour.weight * value
    known = np.flatnonzero(weights > 0.0)
    # An hour of the day that was never read lies on the line between its neighbours.
    pattern: list[float] = np.interp(np.arange(24), known, sums[known] / weights[known], period=24).tolist()
    return pattern


def _nights_spread(hours: list[_Hour], pattern_c: list[float]) -> float:
    """Give how the nights' means differed from the pattern, K."""
    by_night: dict[int, list[float]] = {}
    for hour in hours:
        if hour.of_day in NIGHT_HOURS:
            by_night.setdefault(hour.night, []).append(hour.air_c - pattern_c[hour.of_day])
    means = [statistics.fmean(night) for night in by_night.values() if len(night) >= len(NIGHT_HOURS) // 2]
    if len(means) < FEWEST_NIGHTS:
        return USUAL_NIGHTS_C
    return min(29.0, statistics.stdev(means))


@dataclass(slots=True, frozen=True, kw_only=True)
class Band:
    """When a coat will be dry: likely, and 1 time in 10 earlier than ``early`` or later than ``late``.

    A moment is None when the coat would not get there in such air.
    """

    early: datetime | None
    likely: DryTime
    late: datetime | None


@dataclass(slots=True, frozen=True, kw_only=True)
class Outlook:
    """A zone's readings with the likely air ahead, and with it warm and cold as 1 night in 10; make it once a zone."""

    warm: AirLog
    likely: AirLog
    cold: AirLog

    @classmethod
    def of(cls, log: AirLog, projection: Projection, *, since: datetime | None = None) -> Self:
        """Put a projection after the readings of a zone.

        Parameters
        ----------
        log : AirLog
            The zone's readings.
        projection : Projection
            The air ahead; for warm and cold it is shifted by 1.28 standard deviations of the nights.
        since : datetime, optional
            Where the projection begins if the log is empty.

        Returns
        -------
        Outlook
            Three logs that share their readings.
        """
        warmer_c = ONE_IN_TEN * projection.nights_c
        return cls(
            warm=log.with_projection(projection.warmer(warmer_c), since=since),
            likely=log.with_projection(projection, since=since),
            cold=log.with_projection(projection.warmer(-warmer_c), since=since),
        )

    def band(
        self, label: Label, applied_at: datetime, dryness: Dryness, factor: float = 1.0, *, done_h: float = 0.0
    ) -> Band:
        """Give when a coat will be dry, with the band that the nights leave open; arguments as of `dryclock.dry_at`."""
        warm, likely, cold = (
            dry_at(label, log, applied_at, dryness, factor, done_h=done_h)
            for log in (self.warm, self.likely, self.cold)
        )
        return Band(early=warm.at, likely=likely, late=cold.at)
