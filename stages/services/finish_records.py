"""The finish record is frozen when a boat is handed over, and withdrawn where that was a mistake."""

from collections.abc import Iterable
from datetime import datetime

from django.db.models import Max

from hulls.estimate import digest
from hulls.models import FinishRecord
from stages.engine.log import EntryKind, LogEntry
from stages.engine.state import HullState
from stages.engine.work import Work
from stages.models import HullWork
from stages.queries.finish_gather import gather

UNSEEN = frozenset({EntryKind.NOTE, EntryKind.PHOTO, EntryKind.LINK, EntryKind.ESTIMATE})  # strikes that change none


def keep_record(
    *, row: HullWork, before: Work, after: HullState, log: Iterable[LogEntry], line: LogEntry, now: datetime
) -> None:
    """Freeze, renew or withdraw a hull's finish record after a line of its log; most lines ask for none of it.

    Parameters
    ----------
    row : HullWork
        The locked hull.
    before : Work
        Its work before the line.
    after : HullState
        What its log adds up to with the line.
    log : iterable of LogEntry
        The whole log, the line among it.
    line : LogEntry
        What was just written: a hand-over freezes the record; a strike of the hand-over withdraws it; a strike of
        something older, while the boat is away, puts the next version in its place.
    now : datetime
        When that was recorded.
    """
    was_over, is_over = before.state.handed_over_at is not None, after.handed_over_at is not None
    if not was_over and not is_over:
        return
    if was_over and is_over and not _is_seen(tuple(log), line):
        return
    if was_over:
        for held in FinishRecord.objects.filter(hull_id=row.pk, withdrawn_at__isnull=True):
            held.withdrawn_at = now
            held.save(update_fields=["withdrawn_at"])
    if is_over:
        body = gather(row.hull, before.with_state(after), log, now)
        last = FinishRecord.objects.filter(hull_id=row.pk).aggregate(Max("version"))["version__max"] or 0
        FinishRecord.objects.create(
            hull_id=row.pk, version=last + 1, line=line.id, body=body, digest=digest(body), made_at=now
        )


def _is_seen(log: tuple[LogEntry, ...], line: LogEntry) -> bool:
    """Whether a line after the hand-over bears on the record."""
    if line.kind is not EntryKind.STRIKE:
        return False
    struck = next(entry for entry in log if entry.id == line.details["entry"])
    return struck.kind not in UNSEEN
