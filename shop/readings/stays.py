"""Where a sensor was when: it reads the air of the zone in which it hangs, and is carried from one to another."""

from dataclasses import dataclass
from datetime import datetime

from shop.models import Sensor, SensorMove


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """A time that a sensor hung in a zone, from a moment to before another; None where there is no such end."""

    zone_id: int
    since: datetime | None
    until: datetime | None

    def holds(self, at: datetime) -> bool:
        """Whether a moment lies in it."""
        return (self.since is None or at >= self.since) and (self.until is None or at < self.until)


def stays_of(sensor: Sensor) -> list[Stay]:
    """Where a sensor was, from the first zone to the one where it is now; one query."""
    moves = list(SensorMove.objects.filter(sensor=sensor).order_by("at").values_list("left", "at"))
    zones = [*(left for left, _at in moves), sensor.zone_id]
    ends = [None, *(at for _left, at in moves), None]
    return [Stay(zone_id=zone, since=ends[n], until=ends[n + 1]) for n, zone in enumerate(zones)]
