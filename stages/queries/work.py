"""Hulls in work as the engine reads them, any number in three queries."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from hulls.models import Hull
from hulls.sizes import sizes_of
from stages.engine.log import EntryKind, LogEntry
from stages.engine.state import HullState
from stages.engine.work import Work
from stages.engine.world import World
from stages.models import CoatOn, Entry, HullWork, StageState
from stages.projector import state_of
from stages.queries.routes import engine_route

_OF_A_LINE = ("number", "kind", "at", "stage", "by_id", "details", "client_id", "seal")


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


@dataclass(frozen=True, slots=True)
class SealedLog:
    """A hull's whole log as the engine reads it, the seal of its last line, and the line of each sender's number.

    The engine's numbers are the lines' numbers.
    """

    entries: tuple[LogEntry, ...]
    seal: str
    sent: dict[UUID, int]


def log_of(hull_id: int) -> tuple[LogEntry, ...]:
    """A hull's whole log as the engine reads it; its numbers are the lines' numbers."""
    return sealed_log_of(hull_id).entries


def sealed_log_of(hull_id: int) -> SealedLog:
    """A hull's whole log with what a writer asks of it, in one query."""
    entries, seal, sent = [], "", {}
    rows = Entry.objects.filter(hull_id=hull_id).order_by("number")
    for number, kind, at, stage, by, details, client_id, sealed in rows.values_list(*_OF_A_LINE):
        entries.append(LogEntry(id=number, kind=EntryKind(kind), at=at, stage=stage, by=by, details=details))
        sent[client_id], seal = number, sealed
    return SealedLog(tuple(entries), seal, sent)


def engine_entry(row: Entry) -> LogEntry:
    """A line of the log as the engine reads it."""
    return LogEntry(
        id=row.number, kind=EntryKind(row.kind), at=row.at, stage=row.stage, by=row.by_id, details=row.details
    )
