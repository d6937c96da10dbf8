"""The demo shop's air and weather: a plausible daily round with a little unrest, the same on every machine."""

import math
import random
from datetime import datetime, timedelta

from shop.models import Pulse, Reading, WeatherDay, Zone
from stages.demo.cast import ZONES

DAYS = 118
EVERY_H = 2
WET_SHARE = 0.35


def load_air(zones: dict[str, Zone], now: datetime) -> None:
    """Write readings every two hours of the past weeks for every zone, and the yard's days of weather."""
    dice = random.Random(7)
    Reading.objects.bulk_create(
        Reading(zone=zones[name], at=at, air_c=air_c, rh_pct=rh_pct)
        for name, _outdoors, mean_c, swing_k, mean_rh, _volume in ZONES
        for at, air_c, rh_pct in _round(dice, now, mean_c, swing_k, mean_rh)
    )
    today = now.date()
    WeatherDay.objects.bulk_create(
        WeatherDay(zone=zone, day=today - timedelta(days=n), dry=dice.random() > WET_SHARE)
        for zone in zones.values()
        if zone.outdoors
        for n in range(1, DAYS)
    )
    Pulse.bump(air=True)


def _round(
    dice: random.Random, now: datetime, mean_c: float, swing_k: float, mean_rh: float
) -> list[tuple[datetime, float, float]]:
    found, drift = [], 0.0
    for step in range(DAYS * 24 // EVERY_H, -1, -1):
        at = now - timedelta(hours=EVERY_H * step, minutes=7)
        drift = 0.9 * drift + dice.gauss(0, swing_k / 6)
        lift = math.sin((at.hour - 9) / 24 * 2 * math.pi)
        air_c = mean_c + swing_k * lift + drift
        rh_pct = min(97.0, max(25.0, mean_rh - 2.5 * (air_c - mean_c) + dice.gauss(0, 2)))
        found.append((at, round(air_c, 1), round(rh_pct, 0)))
    return found
