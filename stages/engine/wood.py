"""Moisture of wood: what it tends to in given air, how far a hull is from it, and when it will be dry enough."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from stages.engine.air import FloatArray, Number
from stages.engine.errors import EngineError
from stages.engine.reading import DAY_S, seconds_of

METERS_GOOD_TO_PCT = 30.0  # USDA Wood Handbook: meters are reliable to about fibre saturation
# From memory: thin cedar planking and ribs come a factor e closer to the air in about four days, within a factor 2.
USUAL_DAYS = 4.0
USUAL_SPREAD = math.log(2.0)
METER_ERROR_PCT = 1.0  # from memory, a hand meter on one hull
WET_METER_ERROR_PCT = 5.0  # from memory, above fibre saturation


def emc_pct(air_c: Number, rh_pct: Number) -> Number:
    """Give the equilibrium moisture content that wood tends to.

    Parameters
    ----------
    air_c, rh_pct : float or array
        Air temperature, °C, and relative humidity, %.

    Returns
    -------
    float or array
        Moisture content, % of dry mass.

    Source: USDA Wood Handbook (FPL-GTR-190 and -282), ch. 4, eq. 4-5, coefficients for °C.
    """
    w = 349.0 + 1.29 * air_c + 0.0135 * air_c**2
    k = 0.805 + 0.000736 * air_c - 0.00000273 * air_c**2
    k1 = 6.27 - 0.00938 * air_c - 0.000303 * air_c**2
    k2 = 1.91 + 0.0407 * air_c - 0.000293 * air_c**2
    kh = k * rh_pct / 100.0
    bound = (k1 * kh + 2.0 * k1 * k2 * kh**2) / (1.0 + k1 * kh + k1 * k2 * kh**2)
    return 1800.0 / w * (kh / (1.0 - kh) + bound)


def meter_corrected_pct(reading_pct: float, wood_c: float, calibrated_c: float = 21.1) -> float:
    """Give a resistance meter's reading corrected for cold or warm wood: 0.5 % for each 10 °F, more when colder.

    Source: USDA Wood Handbook and meter guidance, as a rule of thumb (secondary).
    """
    return reading_pct + 0.5 * (calibrated_c - wood_c) * 1.8 / 10.0


@dataclass(slots=True, frozen=True, kw_only=True)
class WoodLimits:
    """Highest moisture of the wood, %, before each kind of work. The shop's settings; the defaults are from memory.

    Adhesives and finishes differ: the product's sheet governs.
    """

    oil_pct: float = 15.0
    varnish_pct: float = 15.0
    glue_pct: float = 12.0
    canvas_pct: float = 15.0

    def __post_init__(self) -> None:
        for name in self.__slots__:
            limit = getattr(self, name)
            if not 5.0 <= limit <= METERS_GOOD_TO_PCT:
                raise EngineError(name, "A limit for the wood must lie between 5 and 30 %, where meters can tell.")


@dataclass(slots=True, frozen=True, kw_only=True)
class MoistureReading:
    """One reading of a hull's wood: when, and its moisture content, % of dry mass."""

    at: datetime
    moisture_pct: float

    def __post_init__(self) -> None:
        seconds_of(self.at)
        if not 0.0 < self.moisture_pct <= 200.0:
            raise EngineError("moisture_pct", f"{self.moisture_pct} % cannot be the moisture of wood.")

    @property
    def reliable(self) -> bool:
        """Say whether a meter can tell so much moisture."""
        return self.moisture_pct <= METERS_GOOD_TO_PCT


@dataclass(slots=True, frozen=True, kw_only=True)
class DryingEstimate:
    """When a hull's wood comes down to a limit.

    Parameters
    ----------
    emc_pct : float
        What the wood tends to in this air, %.
    over_emc_pct : float
        How far the last reading lies over it, %.
    early, likely, late : datetime or None
        The limit is passed by then with a chance of 1, 5 and 9 in 10; None when it would not be, in this air.
    readings : int
        How many readings it rests on.
    days : float
        Likely time constant, days in which the wood comes a factor e closer to the air.
    """

    emc_pct: float
    over_emc_pct: float
    early: datetime | None
    likely: datetime | None
    late: datetime | None
    readings: int
    days: float

    @property
    def rough(self) -> bool:
        """Say that fewer than three readings stand behind it, so that it rests on the usual speed of drying."""
        return self.readings < 3


def estimate(readings: Sequence[MoistureReading], air_emc_pct: float, limit_pct: float) -> DryingEstimate | None:
    """Estimate when a washed or stripped hull is dry enough, from its own readings.

    The wood goes first-order towards the air: m = E + (m0 - E) exp(-t / tau). Every tau is weighed by how well it fits
    the readings and by the usual speed of drying; with few readings the usual speed, and its wide spread, prevails.

    Parameters
    ----------
    readings : sequence of MoistureReading
        The hull's readings since it was last wet.
    air_emc_pct : float
        Equilibrium moisture of the air it stands in, %; see `emc_pct`.
    limit_pct : float
        Moisture to come down to, %.

    Returns
    -------
    DryingEstimate or None
        The estimate; None without a reading.
    """
    if not readings:
        return None
    ordered = sorted(readings, key=lambda reading: seconds_of(reading.at))
    fits = _Fits.of(ordered, air_emc_pct)
    offsets, weights = fits.moments_days(limit_pct - air_emc_pct)
    early, likely, late = (_moment(ordered[-1].at, days) for days in _quantiles(offsets, weights, (0.1, 0.5, 0.9)))
    return DryingEstimate(
        emc_pct=air_emc_pct,
        over_emc_pct=ordered[-1].moisture_pct - air_emc_pct,
        early=early,
        likely=likely,
        late=late,
        readings=len(ordered),
        days=float(math.exp(np.sum(fits.weights * np.log(fits.days)))),
    )


@dataclass(slots=True, frozen=True, kw_only=True, eq=False)
class _Fits:
    """For each time constant of a grid: its weight, and the last excess over equilibrium with its error."""

    days: FloatArray
    weights: FloatArray
    excess_pct: FloatArray
    error_pct: FloatArray

    @classmethod
    def of(cls, ordered: Sequence[MoistureReading], air_emc_pct: float) -> "_Fits":
        last_s = seconds_of(ordered[-1].at)
        ago_days = np.array([(last_s - seconds_of(reading.at)) / DAY_S for reading in ordered])
        excess = np.array([reading.moisture_pct - air_emc_pct for reading in ordered])
        sure = np.array([1.0 / (METER_ERROR_PCT if r.reliable else WET_METER_ERROR_PCT) ** 2 for r in ordered])
        days = USUAL_DAYS * np.exp(USUAL_SPREAD * np.linspace(-4.0, 4.0, 321))
        # Going back in time the excess grows; the exponent is held where no meter could follow it.
        grown = np.exp(np.minimum(ago_days[None, :] / days[:, None], 30.0))
        squares = np.sum(sure * grown**2, axis=1)
        now = np.sum(sure * grown * excess, axis=1) / squares
        misfit = np.sum(sure * (excess - now[:, None] * grown) ** 2, axis=1)
        usual = (np.log(days / USUAL_DAYS) / USUAL_SPREAD) ** 2
        logs = -0.5 * (misfit + usual + np.log(squares))
        weights = np.exp(logs - logs.max())
        return cls(days=days, weights=weights / weights.sum(), excess_pct=now, error_pct=1.0 / np.sqrt(squares))

    def moments_days(self, over_pct: float) -> tuple[FloatArray, FloatArray]:
        """Give when the excess comes down to over_pct, days after the last reading, and the weight of each answer."""
        nodes, node_weights = np.polynomial.hermite_e.hermegauss(9)
        excess = self.excess_pct[:, None] + self.error_pct[:, None] * nodes
        above = excess > over_pct
        if over_pct > 0.0:
            moments = np.where(above, self.days[:, None] * np.log(np.where(above, excess, over_pct) / over_pct), 0.0)
        else:
            moments = np.where(above, np.inf, 0.0)
        weights = self.weights[:, None] * node_weights / node_weights.sum()
        return moments.ravel(), weights.ravel()


def _quantiles(values: FloatArray, weights: FloatArray, shares: Sequence[float]) -> list[float]:
    order = np.argsort(values)
    reached = np.cumsum(weights[order])
    return [float(values[order][min(int(reached.searchsorted(share)), len(order) - 1)]) for share in shares]


def _moment(last: datetime, days: float) -> datetime | None:
    return datetime.fromtimestamp(seconds_of(last) + DAY_S * days, last.tzinfo) if math.isfinite(days) else None
