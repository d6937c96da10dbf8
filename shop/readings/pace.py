"""How fast a device may send: a burst, then one request a second, each with many readings where there are many."""

from datetime import datetime

from django.db.models import F, FloatField, Value
from django.db.models.expressions import Combinable
from django.db.models.functions import Greatest

from shop.models import Sensor

A_SECOND = 1.0
BURST = 60  # requests


def wait_s(*, sensor: Sensor, now: datetime) -> float:
    """Seconds until the sensor may send again, 0 where it may now; no query, so that a flood costs next to none."""
    return max(0.0, sensor.paced_until_s - now.timestamp() - (BURST - 1) / A_SECOND)


def count_request(*, sensor: Sensor, now: datetime) -> None:
    """Count a request against the sensor's pace."""
    Sensor.objects.filter(pk=sensor.pk).update(paced_until_s=_a_step_on(now))


def heard(*, sensor: Sensor, now: datetime, requests: int) -> None:
    """Note that readings of a sensor came in, in so many requests."""
    Sensor.objects.filter(pk=sensor.pk).update(
        last_heard_at=now, paced_until_s=_a_step_on(now) if requests else F("paced_until_s")
    )


def _a_step_on(now: datetime) -> Combinable:
    return Greatest(F("paced_until_s"), Value(now.timestamp(), FloatField())) + Value(1 / A_SECOND)
