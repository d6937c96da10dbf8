"""How fast a film dries in given air, against the label's reference condition."""

from typing import cast

import numpy as np

from stages.engine.air import ZERO_C_K, FloatArray, Number, deficit_pa
from stages.engine.label import Family, Label

GAS_CONSTANT = 8.314462618  # J/(mol K), exact since the SI of 2019

# From memory, no published figure found: oxygen uptake is held back in air above about 85 %, to half at saturation.
DAMP_FROM_PCT = 85.0
DAMP_SPEED_AT_SATURATION = 0.5


def rate(label: Label, air_c: Number, rh_pct: Number) -> Number:
    """Give how many reference hours of drying one hour in this air is worth.

    Parameters
    ----------
    label : Label
        How the film answers to the air.
    air_c, rh_pct : float or array
        Air temperature, °C, and relative humidity, %.

    Returns
    -------
    float or array
        Hours at the reference per hour; 1 at the reference, 0 under the label's lowest temperature.

    Notes
    -----
    Temperature: the label's table, log-linear between its temperatures and held at its ends; else Arrhenius (ASTM C1074
    eq. 2) where an activation energy is given; else Q10 (van 't Hoff).
    Oxidative: slowed in damp air. Water-based: by the vapour-pressure deficit over that of the reference (evaporation
    in proportion to c_v (1 - H), Hu and Larson 2002, J. Phys. Chem. B 106:1334); the film is taken at air temperature
    in still air. With a table the deficits are compared at one temperature, since the table holds the temperature
    already. Solvent: temperature alone.
    """
    speed = active_rate(label, np.asarray(air_c, dtype=np.float64), np.asarray(rh_pct, dtype=np.float64))
    return cast(Number, np.where(np.asarray(air_c) < label.lowest_c, 0.0, speed)[()])


def active_rate(label: Label, air_c: FloatArray, rh_pct: FloatArray) -> FloatArray:
    """Give the rate as if the film never stood still; see `rate`."""
    speed = _temperature_speed(label, air_c)
    if label.family is Family.OXIDATIVE:
        return speed * _damp_speed(rh_pct) / _damp_speed(np.float64(label.reference_rh_pct))
    if label.family is Family.WATER:
        return speed * _evaporation_speed(label, air_c, rh_pct)
    return speed


def _temperature_speed(label: Label, air_c: FloatArray) -> FloatArray:
    if label.table:
        celsius, hours = np.array(label.table).T
        log_hours = np.log(hours)
        at_reference = np.interp(label.reference_c, celsius, log_hours)
        log_speed = at_reference - np.interp(air_c, celsius, log_hours)
    elif label.activation_kj_mol is not None:
        over_gas = 1000.0 * label.activation_kj_mol / GAS_CONSTANT
        log_speed = over_gas * (1.0 / (label.reference_c + ZERO_C_K) - 1.0 / (air_c + ZERO_C_K))
    else:
        log_speed = (air_c - label.reference_c) * (np.log(label.temperature_factor) / 10.0)
    speed: FloatArray = np.exp(log_speed)
    return speed


def _damp_speed(rh_pct: FloatArray | np.float64) -> FloatArray:
    damp: FloatArray = np.clip((rh_pct - DAMP_FROM_PCT) / (100.0 - DAMP_FROM_PCT), 0.0, 1.0)
    return 1.0 - (1.0 - DAMP_SPEED_AT_SATURATION) * damp


def _evaporation_speed(label: Label, air_c: FloatArray, rh_pct: FloatArray) -> FloatArray:
    if label.table:
        return np.maximum(100.0 - rh_pct, 0.0) / (100.0 - label.reference_rh_pct)
    return deficit_pa(air_c, rh_pct) / deficit_pa(label.reference_c, label.reference_rh_pct)


def temperature_kinks_c(label: Label) -> tuple[float, ...]:
    """Give the temperatures, °C, at which the rate breaks or bends."""
    return (label.lowest_c, *(celsius for celsius, _ in label.table))


def humidity_kinks_pct(label: Label) -> tuple[float, ...]:
    """Give the humidities, %, at which the rate bends."""
    return (DAMP_FROM_PCT,) if label.family is Family.OXIDATIVE else ()
