"""A shop of any size for the measurements: the demo's hulls, copied as often as it takes."""

from collections import Counter
from itertools import cycle, islice
from typing import TypeVar

from hulls.models import Hull
from shop.models import CrewMember, Pulse, Station
from stages.demo.load import load_demo
from stages.models import CoatOn, HullWork, StageState

Owned = TypeVar("Owned", StageState, CoatOn)


class Copier:
    """Keeps the demo's hulls in work as patterns and grows the shop by copies of them."""

    def __init__(self) -> None:
        if not CrewMember.objects.exists():
            load_demo()
        rows = HullWork.objects.filter(handed_over_at__isnull=True).select_related("hull", "station")
        self._patterns = [
            (row, list(StageState.objects.filter(work=row)), list(CoatOn.objects.filter(work=row))) for row in rows
        ]
        self._count = self._last = len(self._patterns)
        Station.objects.update(places=2000)
        self._last_place = Counter({row.station_id: row.station.places for row, *_ in self._patterns if row.station})

    def grow_to(self, hulls: int) -> None:
        """Copy hulls until so many are in work; shrinks nothing."""
        states: list[StageState] = []
        coats: list[CoatOn] = []
        for row, its_states, its_coats in islice(cycle(self._patterns), max(0, hulls - self._count)):
            work = self._copy(row)
            states += [_owned(StageState(), state, work) for state in its_states]
            coats += [_owned(CoatOn(), coat, work) for coat in its_coats]
        StageState.objects.bulk_create(states, batch_size=500)
        CoatOn.objects.bulk_create(coats, batch_size=500)
        self._count = max(self._count, hulls)
        Pulse.bump(setup=True)

    def _copy(self, row: HullWork) -> HullWork:
        self._last += 1
        hull = Hull(**{f.attname: getattr(row.hull, f.attname) for f in Hull._meta.concrete_fields if f.name != "id"})
        hull.tag = f"B-{self._last}"
        hull.save()
        return HullWork.objects.create(
            hull=hull,
            route_id=row.route_id,
            station_id=row.station_id,
            place=self._place_after(row.station_id),
            arrived_at=row.arrived_at,
            facts=row.facts,
            lines=row.lines,
        )

    def _place_after(self, station: int | None) -> int | None:
        if station is None:
            return None
        self._last_place[station] += 1
        return self._last_place[station]


def _owned(copy: Owned, pattern: Owned, work: HullWork) -> Owned:
    for field in pattern._meta.concrete_fields:
        setattr(copy, field.attname, getattr(pattern, field.attname))
    copy.pk, copy.work = None, work
    return copy
