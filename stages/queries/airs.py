"""The air of every zone as the clock reads it, kept in the process: of new readings only those are read that came."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from threading import Lock

import numpy as np
import numpy.typing as npt
from django.utils import timezone

from shop.models import Pulse, Reading, WeatherDay
from stages.engine.air import FloatArray
from stages.engine.airlog import AirLog

AIR_DAYS = 120
CHUNK = 5000
_COLUMNS = ("pk", "zone_id", "at", "air_c", "rh_pct", "surface_c", "out")
Row = tuple[int, int, datetime, float, float, float | None, bool]


@dataclass(frozen=True, slots=True)
class Airs:
    """The air by zone, and by outdoor zone the days free of rain."""

    logs: dict[int, AirLog]
    dry_days: dict[int, frozenset[date]]


@dataclass(frozen=True, slots=True)
class ZoneRows:
    """The readings of one zone that count, in no order: their keys, and the columns of its log; and the log."""

    keys: npt.NDArray[np.int64]
    columns: tuple[FloatArray, FloatArray, FloatArray, FloatArray]
    log: AirLog

    @classmethod
    def of(cls, keys: npt.NDArray[np.int64], columns: list[FloatArray]) -> "ZoneRows":
        """Make the log of the columns."""
        seconds, air_c, rh_pct, surface_c = columns
        return cls(keys, (seconds, air_c, rh_pct, surface_c), AirLog.from_arrays(seconds, air_c, rh_pct, surface_c))

    def with_changes(self, rows: list[Row], since_s: float) -> "ZoneRows":
        """Put changed and new readings in the place of the old, and let go of those from before a moment."""
        changed = np.array([row[0] for row in rows], dtype=np.int64)
        stay = ~np.isin(self.keys, changed) & (self.columns[0] >= since_s)
        keys, columns = _columns(row for row in rows if not row[6])
        joined = [np.concatenate((old[stay], new)) for old, new in zip(self.columns, columns, strict=True)]
        return ZoneRows.of(np.concatenate((self.keys[stay], keys)), joined)


@dataclass(slots=True)
class KeptAir:
    """What was read last, under which stamp and up to which turn."""

    _stamp: str = ""
    _turn: int = 0
    _zones: dict[int, ZoneRows] = field(default_factory=dict)
    _airs: Airs = field(default_factory=lambda: Airs({}, {}))
    _lock: Lock = field(default_factory=Lock)

    def under(self, pulse: Pulse) -> Airs:
        """Give the air under these stamps; another stamp is read anew, a later turn brings only what changed."""
        with self._lock:
            if pulse.air != self._stamp:
                self._zones = _all_zones(_since())
            elif pulse.air_turn > self._turn:
                self._zones = self._zones | self._changed_zones(_since())
            else:
                return self._airs
            self._stamp, self._turn = pulse.air, pulse.air_turn
            self._airs = _airs(self._zones, _since())
            return self._airs

    def _changed_zones(self, since: datetime) -> dict[int, ZoneRows]:
        rows = Reading.objects.filter(turn__gt=self._turn, at__gte=since).values_list(*_COLUMNS)
        by_zone: dict[int, list[Row]] = {}
        for row in rows.iterator(chunk_size=CHUNK):
            by_zone.setdefault(row[1], []).append(row)
        nothing = ZoneRows.of(*_columns(()))
        return {z: self._zones.get(z, nothing).with_changes(found, since.timestamp()) for z, found in by_zone.items()}


def fresh_airs() -> Airs:
    """The air as it stands, read anew."""
    since = _since()
    return _airs(_all_zones(since), since)


def _since() -> datetime:
    return timezone.now() - timedelta(days=AIR_DAYS)


def _all_zones(since: datetime) -> dict[int, ZoneRows]:
    counting = Reading.objects.filter(out=False, at__gte=since)
    zones = counting.order_by().values_list("zone_id", flat=True).distinct()
    return {z: ZoneRows.of(*_columns(counting.filter(zone=z).values_list(*_COLUMNS).iterator(CHUNK))) for z in zones}


def _columns(rows: Iterable[Row]) -> tuple[npt.NDArray[np.int64], list[FloatArray]]:
    taken = [(key, at.timestamp(), air_c, rh_pct, surface_c) for key, _, at, air_c, rh_pct, surface_c, _ in rows]
    table = np.array(taken, dtype=np.float64).reshape(-1, 5)  # None becomes NaN
    return table[:, 0].astype(np.int64), [table[:, n].copy() for n in range(1, 5)]


def _airs(zones: dict[int, ZoneRows], since: datetime) -> Airs:
    dry: dict[int, set[date]] = {}
    for zone, day in WeatherDay.objects.filter(dry=True, day__gte=since.date()).values_list("zone_id", "day"):
        dry.setdefault(zone, set()).add(day)
    logs = {zone: rows.log for zone, rows in zones.items() if not rows.log.is_empty}
    return Airs(logs, {zone: frozenset(days) for zone, days in dry.items()})
