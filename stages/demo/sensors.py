"""The demo shop's sensors: one that sends, one that fell silent in the night, one that reads nonsense since noon.

Their tokens are made as the demo is loaded and shown to nobody; the shop's owner gives one another on the page of
sensors.
"""

import random
from datetime import datetime, timedelta

import numpy as np

from shop.models import CrewMember, Reading, Zone
from shop.readings.ingest import take_in
from shop.readings.sample import Sample
from shop.services.sensors import add_sensor

EVERY_MIN = 30
DAYS = 3
SILENT_FOR = timedelta(hours=9)
NONSENSE = 5  # readings
NONSENSE_C = 47.5


def load_sensors(now: datetime, *, by: CrewMember) -> None:
    """Hang three sensors in the shop, and take in what they read in the last days."""
    _hang("Bench hall, by the racks", "Bench hall", now, by=by)
    _hang("Finishing room, back wall", "Finishing room", now - SILENT_FOR, by=by)
    _hang("Filler room, upper shelf", "Filler room", now, by=by, nonsense=NONSENSE)


def _hang(name: str, zone: str, last: datetime, *, by: CrewMember, nonsense: int = 0) -> None:
    sensor, _token = add_sensor(name=name, zone=Zone.objects.get(name=zone), every_min=EVERY_MIN, sends=True, by=by)
    air = _air(sensor.zone, last)
    broken = [Sample(at=one.at, air_c=NONSENSE_C, rh_pct=one.rh_pct) for one in air[len(air) - nonsense :]]
    take_in(sensor=sensor, now=last, air=[*air[: len(air) - nonsense], *broken])


def _air(zone: Zone, last: datetime) -> list[Sample]:
    """The zone's air by the readings on record, with the unrest of a cheap sensor."""
    rows = Reading.objects.filter(zone=zone, at__gte=last - timedelta(days=DAYS + 1)).order_by("at")
    at_s, air_c, rh_pct = np.array([(row.at.timestamp(), row.air_c, row.rh_pct) for row in rows]).T
    dice = random.Random(zone.name)
    moments = [last - timedelta(minutes=EVERY_MIN * n) for n in range(DAYS * 24 * 60 // EVERY_MIN, -1, -1)]
    return [
        Sample(
            at=at,
            air_c=round(float(np.interp(at.timestamp(), at_s, air_c)) + dice.gauss(0, 0.1), 1),
            rh_pct=round(min(100.0, float(np.interp(at.timestamp(), at_s, rh_pct)) + dice.gauss(0, 0.5)), 1),
        )
        for at in moments
    ]
