"""The air of one zone as it was read, and how it runs between, before and after the readings."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cached_property
from typing import Any, Optional, Self, TypeVar

import numpy as np

from stages.engine.air import FloatArray, check_air
from stages.engine.errors import EngineError
from stages.engine.reading import DAY_S, HOUR_S, UNREAD_AIR, Air, AirAhead, AirAt, AirReading, seconds_of

__all__ = ["DAY_S", "HOUR_S", "UNREAD_AIR", "Air", "AirAhead", "AirAt", "AirLog", "AirReading", "seconds_of"]

Sums = TypeVar("Sums")


@dataclass(frozen=True, kw_only=True, eq=False)
class AirLog:
    """The readings of one zone, in order and without duplicates; never changed once made.

    Between two readings the air runs straight, before the first and after the last it is held. Hours that lie in a gap
    longer than ``bridge_h``, or further than that from any reading, are assumed. Build it with `of` or `from_arrays`.

    Parameters
    ----------
    seconds : array, shape (n,)
        Moments, seconds since 1970 UTC, rising.
    air_c, rh_pct : array, shape (n,)
        Air temperature, °C, and relative humidity, %.
    surface_c : array, shape (n,)
        Surface temperature, °C, NaN where it was not read.
    measured : int
        How many of the n were read; those after them are a projection.
    bridge_h : float
        Longest gap, h, that counts as known.
    assumed : Air
        The air of a log with no reading at all.
    base : AirLog, optional
        The measured log that a projection was put to.
    """

    seconds: FloatArray
    air_c: FloatArray
    rh_pct: FloatArray
    surface_c: FloatArray
    measured: int
    bridge_h: float
    assumed: Air
    base: Optional["AirLog"] = None
    _kept: dict[Any, Any] = field(default_factory=dict, repr=False)

    @classmethod
    def of(
        cls, readings: Iterable[AirReading], *, bridge_h: float = 6.0, assumed: tuple[float, float] = UNREAD_AIR
    ) -> Self:
        """Make a log of readings in any order.

        Parameters
        ----------
        readings : iterable of AirReading
            The readings; of several at one moment the coldest counts.
        bridge_h : float
            Longest gap, h, that counts as known.
        assumed : (air_c, rh_pct)
            The air, °C and %, of a zone that was never read.

        Returns
        -------
        AirLog
            The log.
        """
        taken = list(readings)
        return cls.from_arrays(
            np.array([seconds_of(reading.at) for reading in taken], dtype=np.float64),
            np.array([reading.air_c for reading in taken], dtype=np.float64),
            np.array([reading.rh_pct for reading in taken], dtype=np.float64),
            np.array([math.nan if r.surface_c is None else r.surface_c for r in taken], dtype=np.float64),
            bridge_h=bridge_h,
            assumed=assumed,
        )

    @classmethod
    def from_arrays(
        cls,
        seconds: FloatArray,
        air_c: FloatArray,
        rh_pct: FloatArray,
        surface_c: FloatArray | None = None,
        *,
        bridge_h: float = 6.0,
        assumed: tuple[float, float] = UNREAD_AIR,
    ) -> Self:
        """Make a log of columns, as `of` does of readings.

        Raises
        ------
        EngineError
            Columns of unlike length, or air that cannot be a shop's.
        """
        surface = np.full(len(seconds), math.nan) if surface_c is None else surface_c
        _check_columns(seconds, air_c, rh_pct, surface, bridge_h, assumed)
        order = np.lexsort((rh_pct, air_c, seconds))
        columns = [np.asarray(column, dtype=np.float64)[order] for column in (seconds, air_c, rh_pct, surface)]
        first = np.ones(len(order), dtype=bool)
        first[1:] = np.diff(columns[0]) > 0.0
        return cls._sealed([column[first] for column in columns], int(first.sum()), bridge_h, Air(*assumed))

    @classmethod
    def _sealed(
        cls, columns: list[FloatArray], measured: int, bridge_h: float, assumed: Air, base: Optional["AirLog"] = None
    ) -> Self:
        for column in columns:
            column.setflags(write=False)
        seconds, air_c, rh_pct, surface_c = columns
        return cls(
            seconds=seconds,
            air_c=air_c,
            rh_pct=rh_pct,
            surface_c=surface_c,
            measured=measured,
            bridge_h=bridge_h,
            assumed=assumed,
            base=base,
        )

    def with_projection(self, projection: AirAhead, *, since: datetime | None = None, days: float = 400.0) -> Self:
        """Give this log with expected air, hour by hour, after its last reading.

        Parameters
        ----------
        projection : AirAhead
            What is expected, such as a `stages.engine.projection.Projection`.
        since : datetime, optional
            Where the expectation begins in a log with no reading; otherwise the last reading is its beginning.
        days : float
            How far it runs, days; its last hour is held after that.

        Returns
        -------
        AirLog
            A new log; a projection that was already there is replaced.

        Raises
        ------
        EngineError
            An empty log and no ``since``.
        """
        n = self.measured
        if n == 0 and since is None:
            raise EngineError("since", "A zone without readings needs a moment to project from.")
        start = float(self.seconds[n - 1]) if n else seconds_of(since or datetime.now(UTC))
        ahead: FloatArray = start + HOUR_S * np.arange(1 if n else 0, int(24 * days) + 1, dtype=np.float64)
        expected_c, expected_pct = projection.expected(ahead)
        added = (ahead, expected_c, expected_pct, np.full(len(ahead), math.nan))
        measured = (self.seconds, self.air_c, self.rh_pct, self.surface_c)
        columns = [np.concatenate((old[:n], new)) for old, new in zip(measured, added, strict=True)]
        base = (self.base or self) if n else None
        return self._sealed(columns, n, self.bridge_h, self.assumed, base)

    @property
    def is_empty(self) -> bool:
        """Say whether the zone was never read, so that every hour is assumed."""
        return self.measured == 0

    @cached_property
    def measured_span_s(self) -> tuple[float, float] | None:
        """Give the first and the last measured moment, seconds since 1970 UTC."""
        return (float(self.seconds[0]), float(self.seconds[self.measured - 1])) if self.measured else None

    @cached_property
    def _gap_sums(self) -> FloatArray:
        steps = np.diff(self.seconds[: self.measured])
        return np.concatenate(([0.0], np.cumsum(np.where(steps > self.bridge_h * HOUR_S, steps, 0.0))))

    def assumed_h(self, start_s: float, end_s: float) -> float:
        """Give the hours between two moments (seconds since 1970 UTC) in which nobody measured the air."""
        if end_s <= start_s:
            return 0.0
        if self.measured_span_s is None:
            return (end_s - start_s) / HOUR_S
        first, last = self.measured_span_s
        unread = self._gaps_until(end_s) - self._gaps_until(start_s)
        bridge_s = self.bridge_h * HOUR_S
        if first - start_s > bridge_s:
            unread += min(first, end_s) - start_s
        if end_s - last > bridge_s:
            unread += end_s - max(last, start_s)
        return unread / HOUR_S

    def _gaps_until(self, moment_s: float) -> float:
        sums = self._gap_sums
        after = int(self.seconds[: self.measured].searchsorted(moment_s, "right"))
        if after == 0:
            return 0.0
        if after == self.measured:
            return float(sums[-1])
        begin, end = float(self.seconds[after - 1]), float(self.seconds[after])
        return float(sums[after - 1]) + float(sums[after] - sums[after - 1]) * (moment_s - begin) / (end - begin)

    def last_read(self, moment: datetime) -> datetime | None:
        """Give the moment of the last reading up to another moment, in its time zone; None where there is none."""
        before = int(self.seconds[: self.measured].searchsorted(seconds_of(moment), "right"))
        return datetime.fromtimestamp(float(self.seconds[before - 1]), moment.tzinfo) if before else None

    def air_at(self, moment: datetime) -> AirAt:
        """Give the air, and the surface where it was read within the bridge, at one moment.

        Parameters
        ----------
        moment : datetime
            When, with its time zone.

        Returns
        -------
        AirAt
            Air, °C and %, surface, °C or None, and whether nobody measured it.
        """
        now_s = seconds_of(moment)
        air_c, rh_pct, surface_c = (float(column[0]) for column in self.columns_at(np.array([now_s])))
        return AirAt(air_c, rh_pct, None if math.isnan(surface_c) else surface_c, self._unmeasured_at(now_s))

    def columns_at(self, seconds: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Give air, °C and %, and surface, °C or NaN, at many moments in seconds since 1970 UTC."""
        if len(self.seconds) == 0:
            return (
                np.full(len(seconds), self.assumed.air_c),
                np.full(len(seconds), self.assumed.rh_pct),
                seconds * math.nan,
            )
        around = self._around(seconds)
        air_c = np.interp(seconds, self.seconds[around], self.air_c[around])
        rh_pct = np.interp(seconds, self.seconds[around], self.rh_pct[around])
        return air_c, rh_pct, self._surface_at(seconds, air_c)

    def _around(self, seconds: FloatArray) -> slice:
        """Give the readings that some moments lie between: interpolating takes time for each that is given."""
        if len(seconds) == 0:
            return slice(1)
        before = int(self.seconds.searchsorted(np.min(seconds), "right")) - 1
        after = int(self.seconds.searchsorted(np.max(seconds), "left"))
        return slice(max(0, before), after + 1)

    def _surface_at(self, seconds: FloatArray, air_c: FloatArray) -> FloatArray:
        read, surfaces, airs = self._surface_readings
        if len(read) == 0:
            return np.full(len(seconds), math.nan)
        # Past its last reading a surface cools as the air does, and is not taken to warm with it: the safe side.
        cooled = np.where(seconds > read[-1], np.minimum(air_c - airs[-1], 0.0), 0.0)
        after = np.clip(read.searchsorted(seconds), 0, len(read) - 1)
        nearest_s = np.minimum(np.abs(read[after] - seconds), np.abs(read[np.maximum(after - 1, 0)] - seconds))
        return np.where(nearest_s <= self.bridge_h * HOUR_S, np.interp(seconds, read, surfaces) + cooled, math.nan)

    @cached_property
    def _surface_readings(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        read = ~np.isnan(self.surface_c)
        return self.seconds[read], self.surface_c[read], self.air_c[read]

    def _unmeasured_at(self, moment_s: float) -> bool:
        if self.measured_span_s is None:
            return True
        first, last = self.measured_span_s
        bridge_s = self.bridge_h * HOUR_S
        if moment_s < first or moment_s > last:
            return first - moment_s > bridge_s or moment_s - last > bridge_s
        after = int(self.seconds[: self.measured].searchsorted(moment_s, "left"))
        if self.seconds[after] == moment_s:
            return False
        return bool(self.seconds[after] - self.seconds[after - 1] > bridge_s)

    def keep(self, key: object, make: Callable[[], Sums]) -> Sums:
        """Give what was made for this key before, or make it now and keep it with the log."""
        if key not in self._kept:
            self._kept[key] = make()
        made: Sums = self._kept[key]
        return made


def _check_columns(
    seconds: FloatArray,
    air_c: FloatArray,
    rh_pct: FloatArray,
    surface_c: FloatArray,
    bridge_h: float,
    assumed: tuple[float, float],
) -> None:
    if not len(seconds) == len(air_c) == len(rh_pct) == len(surface_c):
        raise EngineError("readings", "The columns of readings differ in length.")
    if not np.all(np.isfinite(seconds)):
        raise EngineError("at", "A reading has no moment.")
    for index in np.flatnonzero(~((air_c > -50.0) & (air_c < 60.0) & (rh_pct >= 0.0) & (rh_pct <= 100.0)))[:1]:
        check_air(float(air_c[index]), float(rh_pct[index]))
    if not (math.isfinite(bridge_h) and bridge_h >= 0.0):
        raise EngineError("bridge_h", "The longest gap to bridge must be a number of hours.")
    check_air(*assumed)
