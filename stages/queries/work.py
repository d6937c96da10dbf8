"""Hulls in work as the engine reads them, any number in three queries."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from hulls.models import Hull
from hulls.sizes import sizes_of
from stages.engine.log import EntryKind, LogEntry
from stages.engine.state import HullState
from stages.engine.work import Work
from stages.engine.world import World
from stages.models import CoatOn, Entry, HullWork, StageState
from stages.projector import state_of
from stages.queries.routes import engine_route


@dataclass(frozen=True, slots=True)
class InWork:
    """A hull's row and the engine's view of it."""

    row: HullWork
    work: Work

    @property
    def hull(self) -> Hull:
        """The boat."""
        return self.row.hull


def rows_in_hand() -> list[HullWork]:
    """Every hull that was not handed over, in one query."""
    found = HullWork.objects.filter(handed_over_at__isnull=True).select_related("hull__owner", "route")
    return list(found.order_by("hull__tag"))


def in_work(rows: Iterable[HullWork], world: World) -> list[InWork]:
    """The engine's view of hulls, in two queries for all of them."""
    rows = list(rows)
    keys = [row.pk for row in rows]
    states: dict[int, list[StageState]] = defaultdict(list)
    coats: dict[int, list[CoatOn]] = defaultdict(list)
    for state in StageState.objects.filter(work__in=keys):
        states[state.work_id].append(state)
    for coat in CoatOn.objects.filter(work__in=keys).order_by("work", "surface", "layer"):
        coats[coat.work_id].append(coat)
    return [InWork(row, work_of(row, state_of(row, states[row.pk], coats[row.pk]), world)) for row in rows]


def work_of(row: HullWork, state: HullState, world: World) -> Work:
    """A hull in its shop as the engine reads it."""
    return Work(
        tag=row.hull.tag,
        route=engine_route(row.route),
        state=state,
        world=world,
        choices=row.hull.choices,
        sizes=sizes_of(row.hull),
        owes=world.owing.get(row.pk),
    )


def log_of(hull_id: int) -> tuple[LogEntry, ...]:
    """A hull's whole log as the engine reads it; its numbers are the lines' numbers."""
    rows = Entry.objects.filter(hull_id=hull_id).order_by("number")
    return tuple(
        LogEntry(id=number, kind=EntryKind(kind), at=at, stage=stage, by=by, details=details)
        for number, kind, at, stage, by, details in rows.values_list(
            "number", "kind", "at", "stage", "by_id", "details"
        )
    )


def engine_entry(row: Entry) -> LogEntry:
    """A line of the log as the engine reads it."""
    return LogEntry(
        id=row.number, kind=EntryKind(row.kind), at=row.at, stage=row.stage, by=row.by_id, details=row.details
    )
