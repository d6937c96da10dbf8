"""The one way into the log: lock the hull, ask the engine, append, project, count the write."""

import hashlib
import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone

from hulls.wording import gettext_noop
from shop.models import Pulse
from stages import projector
from stages.engine.errors import EngineError
from stages.engine.findings import Ask, Finding, say
from stages.engine.log import EntryKind, LogEntry, in_force
from stages.engine.replay import replay
from stages.engine.rules import judge
from stages.engine.sentences import packed
from stages.engine.standing import Breach, newly_broken
from stages.engine.state import HullState
from stages.engine.vocab import Severity
from stages.models import Entry, HullWork
from stages.queries.routes import engine_route
from stages.queries.work import sealed_log_of, work_of
from stages.queries.world import around
from stages.services.desk import Desk, Plan
from stages.services.drawing import give_back, settle
from stages.services.finish_records import keep_record
from stages.services.messages import tell_owner
from stages.services.orders import Draw, Guest, Hand, Line, Outcome
from stages.services.texts import checked_reason

CLOCK_SLACK = timedelta(minutes=5)
MOST_NAMED = 5
TELLING = frozenset({EntryKind.NOTE, EntryKind.PHOTO, EntryKind.LINK, EntryKind.STRIKE})


def record(*, hull_id: int, hand: Hand | Guest, plan: Plan) -> Outcome:
    """Write one line into a hull's log, if the rules and the log allow it.

    Parameters
    ----------
    hull_id : int
        The hull.
    hand : Hand or Guest
        Who, when, and the sender's number.
    plan : callable
        Given the locked desk, says what to write and what to ask the engine; or gives an outcome of its own.

    Returns
    -------
    Outcome
        The line; or the findings that refuse it; or the line by which it had been done already.

    Raises
    ------
    EngineError
        When the time lies in the future, before the hull arrived, or the sender's number belongs to another hull.
    """
    check_time(hand)
    try:
        return _recorded(hull_id, hand, plan)
    except IntegrityError:
        # Somebody took the place between our look and our write, or the number was sent about another hull.
        if Entry.objects.filter(client_id=hand.client_id).exclude(hull_id=hull_id).exists():
            raise EngineError("client_id", gettext_noop("This was sent before, about another hull.")) from None
        return _recorded(hull_id, hand, plan)


def record_whole(*, hull_id: int, hand: Hand | Guest, plan: Plan) -> Outcome:
    """As `record`, for a plan that writes rows of its own: where no line comes of it, they are taken back."""
    with transaction.atomic():
        outcome = record(hull_id=hull_id, hand=hand, plan=plan)
        if outcome.entry is None:
            transaction.set_rollback(True)
    return outcome


def _recorded(hull_id: int, hand: Hand | Guest, plan: Plan) -> Outcome:
    with transaction.atomic():
        row = HullWork.objects.select_for_update(of=("self",)).select_related("hull", "route").get(pk=hull_id)
        log = sealed_log_of(hull_id)
        if hand.client_id in log.sent:
            sent = Entry.objects.get(hull_id=hull_id, number=log.sent[hand.client_id])
            return Outcome(entry=sent, repeated=True)
        state = replay(engine_route(row.route), log.entries)
        desk = Desk(row=row, work=work_of(row, state, around().world), log=log.entries, seal=log.seal)
        planned = plan(desk)
        if isinstance(planned, Outcome):
            return planned
        return _write(desk, hand, *planned)


def check_time(hand: Hand | Guest) -> None:
    """Refuse a time in the future, a few minutes of a phone's wrong clock aside."""
    if hand.at > timezone.now() + CLOCK_SLACK:
        raise EngineError("at", gettext_noop("That time has not come yet."))


def _write(desk: Desk, hand: Hand | Guest, line: Line, ask: Ask | None) -> Outcome:
    entry = LogEntry(
        id=desk.row.lines + 1,
        kind=line.kind,
        at=hand.at,
        stage=line.stage,
        by=hand.by.pk if hand.by else None,
        details=dict(line.details),
    )
    _check_life(desk, entry)
    findings = judge(desk.as_of(entry.at), ask) if ask else ()
    overrides = _overrides(findings, hand)
    if any(finding.refuses for finding in findings) and not overrides:
        return Outcome(findings=findings)
    if overrides:
        entry = replace(entry, details={**entry.details, "overrides": overrides})
    state = desk.with_line(entry)
    against = [*_leaning(desk, entry), *_lost_place(desk, state)]
    if against:
        return Outcome(findings=(*findings, *against))
    return Outcome(entry=_append(desk, hand, entry, state, line.draws), findings=findings)


def _check_life(desk: Desk, entry: LogEntry) -> None:
    state = desk.work.state
    if entry.kind is EntryKind.ARRIVED:
        return
    if state.arrived_at and entry.at < state.arrived_at:
        raise EngineError("at", gettext_noop("That is before this hull arrived."))
    if state.handed_over_at and entry.kind not in TELLING:
        raise EngineError("at", gettext_noop("This hull was handed over; its work is closed."))
    later = any(line.at > entry.at and line.kind not in TELLING for line in in_force(desk.log))
    if later and desk.with_line(entry).handed_over_at:
        raise EngineError("at", gettext_noop("Work on this hull is on record after that time."))


def _overrides(findings: tuple[Finding, ...], hand: Hand | Guest) -> list[dict[str, Any]]:
    refusing = [finding for finding in findings if finding.refuses]
    if not isinstance(hand, Hand):
        return []
    may = hand.by.is_shop_owner and hand.override.strip()
    if not refusing or not may or any(finding.safety for finding in refusing):
        return []
    reason = checked_reason(hand.override, "override")
    return [{"rule": f.rule, "words": str(f.words), "said": packed(f.words), "reason": reason} for f in refusing]


def _leaning(desk: Desk, entry: LogEntry) -> Iterator[Finding]:
    """Lines on record that a new one would break, the first few."""
    if not desk.comes_last(entry):
        broken = newly_broken(desk.work, desk.log, (*desk.log, entry))
        others = [breach for breach in broken if breach.entry.id != entry.id]
        yield from (_later(desk, breach) for breach in others[:MOST_NAMED])


def _later(desk: Desk, breach: Breach) -> Finding:
    spec = desk.work.route.by_key.get(breach.entry.stage)
    words = say(
        gettext_noop("“%(stage)s”, line %(line)s of the log, leans on this. %(why)s"),
        stage=spec.name if spec else breach.entry.kind.value,
        line=breach.entry.id,
        why=breach.finding.words,
    )
    clears = say(gettext_noop("Strike line %(line)s first."), line=breach.entry.id)
    return Finding(rule=breach.finding.rule, severity=Severity.REFUSES, safety=True, words=words, clears=clears)


def _lost_place(desk: Desk, state: HullState) -> Iterator[Finding]:
    """A strike may send the hull back to where it stood before; somebody else may stand there by now."""
    row, stay = desk.row, state.stay
    if stay is None or stay.station is None or (stay.station, stay.place) == (row.station_id, row.place):
        return
    station = desk.work.world.stations[stay.station]
    if stay.place in station.taken:
        words = say(
            gettext_noop("%(tag)s would be back at place %(place)s of %(station)s, where another hull stands now."),
            tag=desk.work.tag,
            place=stay.place,
            station=station.name,
        )
        clears = say(gettext_noop("Move that hull away from there first."))
        yield Finding(rule="place", severity=Severity.REFUSES, safety=True, words=words, clears=clears)


def _append(desk: Desk, hand: Hand | Guest, entry: LogEntry, state: HullState, draws: tuple[Draw, ...]) -> Entry:
    row = desk.row
    saved = Entry(
        client_id=hand.client_id,
        hull_id=row.pk,
        number=entry.id,
        kind=entry.kind,
        stage=entry.stage,
        at=entry.at,
        recorded_at=hand.recorded_at or timezone.now(),
        by=hand.by,
        details=entry.details,
    )
    saved.seal = seal(saved, desk.seal)
    saved.save()
    projector.write(row, desk.work.state, state, lines=entry.id)
    log, at = (*desk.log, entry), saved.recorded_at
    keep_record(row=row, before=desk.work, after=state, log=log, line=entry, now=at)
    struck = _struck_by(desk, entry)
    stores = settle(saved, draws) if struck is None else give_back(struck, saved)
    Pulse.bump(setup=_teaches(desk, entry), stores=stores)
    tell_owner(hull_id=row.pk, entry=entry, work=desk.work.with_state(state))
    return saved


def _struck_by(desk: Desk, entry: LogEntry) -> LogEntry | None:
    """The line that a line strikes."""
    if entry.kind is not EntryKind.STRIKE:
        return None
    return next(line for line in desk.log if line.id == entry.details["entry"])


def _teaches(desk: Desk, entry: LogEntry) -> bool:
    """Whether a line, or the one that it strikes, bears on what is kept with the set-up: what is learnt, who owes."""
    told = _struck_by(desk, entry) or entry
    if told.kind in (EntryKind.SEEN, EntryKind.ESTIMATE) or told.details.get("measured"):
        return True
    return told is not entry and any(e.kind is EntryKind.SEEN and e.details["coat"] == told.id for e in desk.log)


def seal(entry: Entry, before: str) -> str:
    """Digest of a line and of the seal before it (SHA-256)."""
    content = [
        before,
        str(entry.client_id),
        entry.hull_id,
        entry.number,
        entry.kind,
        entry.stage,
        entry.at.timestamp(),
        entry.recorded_at.timestamp(),
        entry.by_id,
        entry.details,
    ]
    return hashlib.sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()
