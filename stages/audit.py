"""Proof that the tables equal the log: replay every hull, check every seal, name the first difference."""

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from typing import Any

from django.db.models import Count

from hulls.models import Estimate, EstimateKind
from stages import projector
from stages.audit_money import of_money
from stages.audit_records import record_of
from stages.audit_stores import drawn_by, of_lots
from stages.difference import Difference
from stages.engine.replay import replay
from stages.engine.state import HullState
from stages.models import Entry, HullWork
from stages.queries.routes import engine_route
from stages.queries.work import engine_entry
from stages.services.record import seal


def differences() -> Iterator[Difference]:
    """Every difference of every hull, one hull at a time."""
    lost = Entry.objects.filter(hull__work__isnull=True).order_by("hull__tag").values_list("hull__tag")
    for tag, lines in lost.annotate(Count("pk")):
        yield Difference(tag, "hull in work", f"{lines} lines", "no row")
    yield from missing_numbers()
    yield from of_lots()
    yield from of_money()
    rows = HullWork.objects.select_related("hull", "route").prefetch_related("stage_states", "coats")
    for row in rows.order_by("hull__tag").iterator(chunk_size=50):
        yield from of_hull(row)


def of_hull(row: HullWork) -> Iterator[Difference]:
    """Differences of one hull: seals first, then the projection."""
    entries = list(Entry.objects.filter(hull_id=row.pk).order_by("number"))
    before = ""
    for expected, entry in enumerate(entries, start=1):
        if entry.number != expected:
            yield Difference(row.hull.tag, "lines of the log", f"line {expected}", f"line {entry.number}")
            return
        if (wanted := seal(entry, before)) != entry.seal:
            yield Difference(row.hull.tag, f"seal of line {entry.number}", wanted, entry.seal)
            return
        before = entry.seal
    yield from drawn_by(row.hull.tag, entries)
    if row.lines != len(entries):
        yield Difference(row.hull.tag, "number of lines", len(entries), row.lines)
    log = [engine_entry(entry) for entry in entries]
    replayed = replay(engine_route(row.route), log)
    held = projector.state_of(row, row.stage_states.all(), row.coats.all())
    yield from _unlike(row.hull.tag, "", _plain(replayed), _plain(held))
    stay = replayed.stay
    wanted_place = (stay.station, stay.place) if stay else (None, None)
    if wanted_place != (row.station_id, row.place):
        yield Difference(row.hull.tag, "place", wanted_place, (row.station_id, row.place))
    yield from _agreements(row, replayed)
    yield from record_of(row, log)


def missing_numbers() -> Iterator[Difference]:
    """Gaps in the numbers of what was sent."""
    for kind in EstimateKind:
        held = Estimate.objects.filter(kind=kind).values_list("number", flat=True)
        numbers = {number for number in held if number is not None}
        for number in sorted(set(range(1, max(numbers, default=0) + 1)) - numbers):
            yield Difference(str(kind.label), "numbers", "no gap", f"no number {number}")


def _agreements(row: HullWork, replayed: HullState) -> Iterator[Difference]:
    """What was sent to a boat's owner still is what was sent, and the log's answer stands in its row."""
    sent = {(e.label, e.version): e for e in Estimate.objects.filter(hull_id=row.pk, sent_at__isnull=False)}
    for (label, version), estimate in sent.items():
        if not estimate.holds:
            yield Difference(row.hull.tag, f"{label} version {version}", "as it was sent", "changed since")
    for label, held in replayed.agreements.items():
        found = sent.get((label, held.version))
        wanted = (held.digest, str(held.answer))
        table = (found.digest, str(found.answer)) if found else None
        if wanted != table:
            yield Difference(row.hull.tag, f"{label} version {held.version}", wanted, table)


def _plain(state: HullState) -> dict[str, Any]:
    return asdict(state)


def _unlike(tag: str, where: str, log: object, table: object) -> Iterator[Difference]:
    if isinstance(log, Mapping) and isinstance(table, Mapping):
        for key in [*log, *(key for key in table if key not in log)]:
            yield from _unlike(tag, f"{where}.{key}".lstrip("."), log.get(key), table.get(key))
    elif isinstance(log, tuple | list) and isinstance(table, tuple | list) and len(log) == len(table):
        for n, (one, other) in enumerate(zip(log, table, strict=True)):
            yield from _unlike(tag, f"{where}[{n}]", one, other)
    elif log != table:
        yield Difference(tag, where, log, table)
