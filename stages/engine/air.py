"""Moist air: saturation vapour pressure, dew point, absolute humidity, deficit, and the margin above the dew point."""

from typing import TypeVar, cast

import numpy as np
import numpy.typing as npt

from stages.engine.errors import EngineError

FloatArray = npt.NDArray[np.float64]
Number = TypeVar("Number", float, FloatArray)

ZERO_C_K = 273.15
TRIPLE_POINT_C = 0.01
# ISO 8502-4 practice; MIL-HDBK-1110 section 9.6.6 says 5 °F (2.8 °C). One threshold is stored, the other shown rounded.
DEW_MARGIN_C = 3.0
DAMP_AIR_PCT = 85.0  # customary upper limit for painting, secondary sources
DRIEST_PCT = 1.0  # no shop is drier; keeps the dew point finite when a sensor reads 0 %
GAS_CONSTANT_VAPOUR = 461.52  # J/(kg K), ASHRAE Handbook of Fundamentals 2017 ch. 1 eq. 2: 8314.472 / 18.015268


def saturation_pa(air_c: Number) -> Number:
    """Give the saturation vapour pressure over water, over ice below the triple point.

    Parameters
    ----------
    air_c : float or array
        Air temperature, °C, -100 to 200.

    Returns
    -------
    float or array
        Pressure in Pa.

    Source: ASHRAE Handbook of Fundamentals 2017, ch. 1, eq. 5 and 6 (Hyland and Wexler).
    """
    return cast(Number, np.exp(_log_saturation(np.asarray(air_c, dtype=np.float64))))


def _log_saturation(air_c: FloatArray) -> FloatArray:
    kelvin = air_c + ZERO_C_K
    water = _log_over_water(kelvin)
    if not np.any(air_c <= TRIPLE_POINT_C):
        return water
    return np.where(air_c <= TRIPLE_POINT_C, _log_over_ice(kelvin), water)


def _log_over_ice(kelvin: FloatArray) -> FloatArray:
    poly = ((-9.484024e-13 * kelvin + 2.0747825e-09) * kelvin + 6.2215701e-07) * kelvin - 9.677843e-03
    return -5.6745359e03 / kelvin + 6.3925247 + poly * kelvin + 4.1635019 * np.log(kelvin)


def _log_over_water(kelvin: FloatArray) -> FloatArray:
    poly = (-1.4452093e-08 * kelvin + 4.1764768e-05) * kelvin - 4.8640239e-02
    return -5.8002206e03 / kelvin + 1.3914993 + poly * kelvin + 6.5459673 * np.log(kelvin)


def vapour_pressure_pa(air_c: Number, rh_pct: Number) -> Number:
    """Give the partial pressure of water vapour, Pa, at air_c (°C) and rh_pct (%)."""
    return saturation_pa(air_c) * rh_pct / 100.0


def deficit_pa(air_c: Number, rh_pct: Number) -> Number:
    """Give the vapour-pressure deficit, Pa: how much more vapour the air could still take up."""
    return saturation_pa(air_c) * (1.0 - rh_pct / 100.0)


def absolute_humidity_g_m3(air_c: Number, rh_pct: Number) -> Number:
    """Give the water vapour in the air, g/m³, by the ideal gas law."""
    return 1000.0 * vapour_pressure_pa(air_c, rh_pct) / (GAS_CONSTANT_VAPOUR * (air_c + ZERO_C_K))


def rh_when_at_pct(air_c: float, rh_pct: float, other_c: float) -> float:
    """Give the relative humidity, %, of the same air (same vapour pressure) brought to other_c, at most 100."""
    return min(100.0, rh_pct * float(saturation_pa(air_c) / saturation_pa(other_c)))


def dew_point_c(air_c: Number, rh_pct: Number) -> Number:
    """Give the dew point (frost point below 0 °C), °C.

    Parameters
    ----------
    air_c : float or array
        Air temperature, °C.
    rh_pct : float or array
        Relative humidity, %; under 1 % counts as 1 %.

    Returns
    -------
    float or array
        Temperature at which this air is saturated, °C.

    Source: inverse of `saturation_pa` by Newton's method, begun at the Magnus inverse (WMO-No. 8, Annex 4.B).
    """
    held = np.maximum(np.asarray(rh_pct, dtype=np.float64), DRIEST_PCT)
    wanted = _log_saturation(np.asarray(air_c, dtype=np.float64)) + np.log(held / 100.0)
    guess = _magnus_inverse(wanted)
    for _ in range(4):
        slope = (_log_saturation(guess + 0.005) - _log_saturation(guess - 0.005)) / 0.01
        guess = guess - (_log_saturation(guess) - wanted) / slope
    # Newton may stop an ulp above the air itself when it is saturated.
    return cast(Number, np.minimum(guess, air_c)[()])


def _magnus_inverse(log_pa: FloatArray) -> FloatArray:
    log_ratio = log_pa - np.log(611.2)
    inverse: FloatArray = 243.12 * log_ratio / (17.62 - log_ratio)
    return inverse


def margin_c(air_c: Number, rh_pct: Number, surface_c: Number) -> Number:
    """Give how far a surface stands above the dew point of the air, K (negative when dew falls on it)."""
    return surface_c - dew_point_c(air_c, rh_pct)


def may_paint(
    air_c: float, rh_pct: float, surface_c: float | None = None, *, margin_needed_c: float = DEW_MARGIN_C
) -> bool:
    """Say whether air and surface are dry enough: the margin is kept and the air is not damp.

    Parameters
    ----------
    air_c, rh_pct : float
        Air temperature, °C, and relative humidity, %.
    surface_c : float, optional
        Surface temperature, °C; the air's when it was not measured.
    margin_needed_c : float
        Least margin above the dew point, K.

    Returns
    -------
    bool
        True when a coat may go on as far as dew and damp are concerned.
    """
    surface = air_c if surface_c is None else surface_c
    return bool(margin_c(air_c, rh_pct, surface) >= margin_needed_c and rh_pct <= DAMP_AIR_PCT)


def check_air(air_c: float, rh_pct: float) -> None:
    """Refuse air that cannot be a shop's.

    Raises
    ------
    EngineError
        Temperature not over -50 and under 60 °C, humidity outside 0 to 100 %, or no number at all.
    """
    if not -50.0 < air_c < 60.0:
        raise EngineError("air_c", f"{air_c} °C cannot be the air of a shop.")
    if not 0.0 <= rh_pct <= 100.0:
        raise EngineError("rh_pct", f"Relative humidity runs from 0 to 100 %, not {rh_pct}.")


def check_surface(surface_c: float) -> None:
    """Refuse a surface that cannot be a hull's, not even in the sun.

    Raises
    ------
    EngineError
        A temperature not over -50 and under 100 °C, or no number at all.
    """
    if not -50.0 < surface_c < 100.0:
        raise EngineError("surface_c", f"{surface_c} °C cannot be the surface of a hull.")
