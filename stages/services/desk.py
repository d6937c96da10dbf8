"""The hull that is written about, as a service finds it: its locked row, its work, its log."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from hulls.wording import gettext_noop
from stages.engine.errors import EngineError
from stages.engine.findings import Ask
from stages.engine.log import EntryKind, LogEntry, in_force
from stages.engine.replay import replay, step
from stages.engine.route import StageSpec
from stages.engine.state import HullState
from stages.engine.work import Work
from stages.models import Entry, HullWork
from stages.services.orders import Line, Outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """The hull that is written about: its locked row, its work as it stands, its log and the seal of its last line."""

    row: HullWork
    work: Work
    log: tuple[LogEntry, ...]
    seal: str

    def last(self, kind: EntryKind, stage: str) -> LogEntry | None:
        """The last line in force of a kind about a stage."""
        found = [entry for entry in in_force(self.log) if entry.kind is kind and entry.stage == stage]
        return found[-1] if found else None

    def spec(self, stage: str) -> StageSpec:
        """The stage of the hull's route by its key.

        Raises
        ------
        EngineError
            When the route has no such stage.
        """
        spec = self.work.route.by_key.get(stage)
        if spec is None:
            raise EngineError("stage", gettext_noop("This hull's route has no such step."))
        return spec

    def as_of(self, at: datetime) -> Work:
        """The work as it stood at a moment, what happened at that very moment counted."""
        before = [line for line in self.log if line.kind is EntryKind.STRIKE or line.at <= at]
        if len(before) == len(self.log):
            return self.work
        return self.work.with_state(replay(self.work.route, before))

    def with_line(self, entry: LogEntry) -> HullState:
        """The state with one more line in the log."""
        if self.comes_last(entry):
            return step(self.work.state, entry, self.work.route)
        return replay(self.work.route, (*self.log, entry))

    def comes_last(self, entry: LogEntry) -> bool:
        """Whether nothing on record happened after a line, so that no other line can lean on it."""
        return entry.kind is not EntryKind.STRIKE and all(line.at <= entry.at for line in self.log)


Plan = Callable[[Desk], "tuple[Line, Ask | None] | Outcome"]


def telling(line: Line) -> Plan:
    """The plan of a line that no rule judges; its stage, if any, must be one of the hull's."""

    def plan(desk: Desk) -> tuple[Line, Ask | None]:
        if line.stage:
            desk.spec(line.stage)
        return line, None

    return plan


def already(desk: Desk, kind: EntryKind, stage: str = "") -> Outcome:
    """The outcome of what somebody else had done before: with the line that tells of it."""
    line = desk.last(kind, stage)
    done = Entry.objects.select_related("by").get(hull_id=desk.row.pk, number=line.id) if line else None
    return Outcome(already=done)
