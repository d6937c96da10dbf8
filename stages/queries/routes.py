"""Route versions as the engine reads them. A published version never changes, so each is read once a process."""

from collections.abc import Iterable
from functools import lru_cache

from stages.engine.label import Dryness
from stages.engine.route import DryNeed, Route, StageSpec, When
from stages.engine.vocab import Damage, Gate, ProductKind, StationKind, Surface
from stages.models import Route as RouteRow
from stages.models import RouteStage


def engine_route(row: RouteRow) -> Route:
    """The engine's route of a version; kept for published ones."""
    if row.published_at is None:
        return read_route(row.pk, row.name, row.version)
    return _published(row.pk, row.name, row.version, row.published_at.isoformat())


@lru_cache(maxsize=64)
def _published(pk: int, name: str, version: int, published_at: str) -> Route:
    return read_route(pk, name, version)


def read_route(pk: int, name: str, version: int) -> Route:
    """Read a version from the database.

    Raises
    ------
    EngineError
        When its stages do not make a route.
    """
    rows = RouteStage.objects.filter(route_id=pk).prefetch_related("after")
    stages = (engine_stage(row, after=(before.key for before in row.after.all())) for row in rows)
    return Route(name=name, version=version, stages=tuple(stages))


def engine_stage(row: RouteStage, *, after: Iterable[str]) -> StageSpec:
    """A stage as the engine reads it; ``after`` holds the keys of the stages that it waits for."""
    needs = (
        (DryNeed(surface=Surface(row.needs_surface), dryness=Dryness(row.needs_dryness or Dryness.HANDLE)),)
        if row.needs_surface
        else ()
    )
    return StageSpec(
        key=row.key,
        name=row.name,
        position=row.position,
        after=tuple(sorted(after)),
        station=StationKind(row.station_kind) if row.station_kind else None,
        skill=row.skill_id,
        when=When.parse(row.when),
        coats=row.coats,
        product=ProductKind(row.product_kind) if row.product_kind else None,
        surface=Surface(row.surface) if row.surface else None,
        strips=Surface(row.strips) if row.strips else None,
        needs=needs,
        gates=frozenset(Gate(gate) for gate in row.gates),
        hours_fixed=row.hours_fixed,
        hours_each=row.hours_each,
        hours_per_m2=row.hours_per_m2,
        counted=Damage(row.counted) if row.counted else None,
        caution=row.caution,
        milestone=row.milestone,
        owner_words=row.owner_words,
    )
