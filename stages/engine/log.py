"""The log as the engine reads it: what happened to a hull, in which order."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import Any


class EntryKind(StrEnum):
    """What an entry tells."""

    ARRIVED = "arrived"
    SURVEY = "survey"
    FOUND = "found"
    STARTED = "started"
    COAT = "coat"
    SANDED = "sanded"
    FINISHED = "finished"
    MOVED = "moved"
    MOISTURE = "moisture"
    LEAD_TEST = "lead_test"
    SEEN = "seen"
    RAGS = "rags"
    LEFT_OUT = "left_out"
    PUT_BACK = "put_back"
    NOTE = "note"
    PHOTO = "photo"
    LINK = "link"
    ESTIMATE = "estimate"
    STRIKE = "strike"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogEntry:
    """One line of a hull's log.

    Parameters
    ----------
    id : int
        Rises with the order in which the lines were recorded.
    kind : EntryKind
        What happened.
    at : datetime
        When it happened, aware.
    stage : str
        Key of the stage, or empty.
    by : int or None
        Who, by number.
    details : mapping
        What the kind needs, as plain JSON values.
    """

    id: int
    kind: EntryKind
    at: datetime
    stage: str = ""
    by: int | None = None
    details: Mapping[str, Any] = field(default_factory=dict)

    @property
    def overridden(self) -> frozenset[str]:
        """Ids of the rules that the shop's owner set aside for this entry."""
        return frozenset(item["rule"] for item in self.details.get("overrides", ()))


def in_force(entries: Iterable[LogEntry]) -> tuple[LogEntry, ...]:
    """The entries that were not struck, in the order in which they happened; strikes themselves are left out."""
    entries = tuple(entries)
    struck = {entry.details["entry"] for entry in entries if entry.kind is EntryKind.STRIKE}
    kept = (entry for entry in entries if entry.kind is not EntryKind.STRIKE and entry.id not in struck)
    return tuple(sorted(kept, key=lambda entry: (entry.at, entry.id)))
