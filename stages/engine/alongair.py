"""The air along a stretch of time, moment by moment, and what it would be if the room were kept otherwise."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from stages.engine.air import FloatArray, margin_c
from stages.engine.airlog import HOUR_S, AirLog
from stages.engine.reading import AirAhead


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AlongAir:
    """The air at the moments at which it was read or is expected, and at both ends.

    Parameters
    ----------
    seconds : array, shape (n,)
        Rising moments, seconds since 1970 UTC.
    air_c, rh_pct : array, shape (n,)
        Air temperature, °C, and relative humidity, %.
    margin_c : array, shape (n,)
        Height of the surface over the dew point, K; the surface is the air's where none was read.
    known : array of bool, shape (n - 1,)
        Which stretches between two moments lie between readings close enough to bridge.
    """

    seconds: FloatArray
    air_c: FloatArray
    rh_pct: FloatArray
    margin_c: FloatArray
    known: npt.NDArray[np.bool_]

    @classmethod
    def of(cls, log: AirLog, start_s: float, end_s: float) -> "AlongAir":
        """Give the air of a log from one moment to another."""
        inside = log.seconds[(log.seconds > start_s) & (log.seconds < end_s)]
        return cls.at(log, np.concatenate(([start_s], inside, [end_s])))

    @classmethod
    def at(cls, log: AirLog, seconds: FloatArray) -> "AlongAir":
        """Give the air of a log at rising moments."""
        air_c, rh_pct, surface_c = log.columns_at(seconds)
        return cls(
            seconds=seconds,
            air_c=air_c,
            rh_pct=rh_pct,
            margin_c=margin_c(air_c, rh_pct, np.where(np.isnan(surface_c), air_c, surface_c)),
            known=_known(log, (seconds[:-1] + seconds[1:]) / 2.0),
        )


def _known(log: AirLog, middles: FloatArray) -> npt.NDArray[np.bool_]:
    read = log.seconds[: log.measured]
    if len(read) < 2:
        return np.zeros(len(middles), dtype=bool)
    after = read.searchsorted(middles)
    between = (after > 0) & (after < len(read))
    held = np.clip(after, 1, len(read) - 1)
    return between & (read[held] - read[held - 1] <= log.bridge_h * HOUR_S)


def joined(parts: Sequence[AlongAir]) -> AlongAir:
    """Give several stretches, each beginning where the one before ends, as one: the air jumps at a move."""
    seams = np.zeros(1, dtype=bool)
    known = [part.known for part in parts]
    return AlongAir(
        seconds=np.concatenate([part.seconds for part in parts]),
        air_c=np.concatenate([part.air_c for part in parts]),
        rh_pct=np.concatenate([part.rh_pct for part in parts]),
        margin_c=np.concatenate([part.margin_c for part in parts]),
        known=np.concatenate([piece for part in known for piece in (part, seams)][:-1]),
    )


def below(seconds: FloatArray, values: FloatArray, limit: float) -> tuple[tuple[float, float], ...]:
    """Give the stretches of time in which a line runs under a limit, seconds since 1970 UTC."""
    under = values < limit
    cuts = np.flatnonzero(under[:-1] != under[1:])
    shares = (limit - values[cuts]) / (values[cuts + 1] - values[cuts])
    edges = (seconds[cuts] + shares * (seconds[cuts + 1] - seconds[cuts])).tolist()
    if under[0]:
        edges.insert(0, float(seconds[0]))
    if under[-1]:
        edges.append(float(seconds[-1]))
    return tuple(zip(edges[::2], edges[1::2], strict=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned:
    """Air that is expected one way up to a moment (seconds since 1970 UTC), and another way from then on."""

    before: AirAhead
    after: AirAhead
    at_s: float

    def expected(self, seconds: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Give air temperature, °C, and relative humidity, %, at rising moments in seconds since 1970 UTC."""
        before_c, before_pct = self.before.expected(seconds)
        after_c, after_pct = self.after.expected(seconds)
        turned = seconds >= self.at_s
        return np.where(turned, after_c, before_c), np.where(turned, after_pct, before_pct)
