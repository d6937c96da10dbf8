"""The air ahead of the last readings: each zone's own recent day, or what its heating is set to."""

from dataclasses import dataclass, field
from datetime import UTC, datetime, tzinfo
from threading import Lock

from shop.models import Zone
from stages.engine.airlog import AirLog
from stages.engine.projection import Projection

Asked = tuple[float | None, float | None, tzinfo]  # the set-point of a zone, °C and %, and where its days begin


def projection_of(log: AirLog, zone: Zone | None, zone_info: tzinfo) -> Projection:
    """What is expected in a zone after its last reading.

    Parameters
    ----------
    log : AirLog
        Its readings; at least one.
    zone : Zone or None
        Its set-point counts, where it has one.
    zone_info : tzinfo
        The shop's time zone, in which days repeat.
    """
    last = datetime.fromtimestamp(float(log.seconds[log.measured - 1]), UTC)
    usual = Projection.recent(log, last, zone_info)
    if zone is None or zone.set_c is None:
        return usual
    if zone.set_rh_pct is None:
        return usual.held_at(zone.set_c)
    return Projection.steady(zone.set_c, zone.set_rh_pct, zone_info)


@dataclass(slots=True)
class KeptAhead:
    """The logs with the air ahead, made anew for a zone alone whose readings or set-point changed."""

    _made: dict[int, tuple[AirLog, Asked, AirLog]] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def of(self, logs: dict[int, AirLog], zones: dict[int, Zone], zone_info: tzinfo) -> dict[int, AirLog]:
        """Give each log with the air ahead of it."""
        with self._lock:
            return {key: self._one(key, log, zones.get(key), zone_info) for key, log in logs.items()}

    def _one(self, key: int, log: AirLog, zone: Zone | None, zone_info: tzinfo) -> AirLog:
        asked = (zone.set_c, zone.set_rh_pct, zone_info) if zone else (None, None, zone_info)
        held = self._made.get(key)
        if held and held[0] is log and held[1] == asked:
            return held[2]
        made = log.with_projection(projection_of(log, zone, zone_info))
        self._made[key] = (log, asked, made)
        return made
