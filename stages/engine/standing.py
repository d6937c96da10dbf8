"""Standing truth: which entries of a log break a rule, so that no write and no strike leaves a broken stack behind."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import reduce
from itertools import takewhile

from stages.engine.findings import Ask, Finding
from stages.engine.log import EntryKind, LogEntry, in_force
from stages.engine.replay import step
from stages.engine.rules import RULES, judge
from stages.engine.state import HullState
from stages.engine.vocab import Action, Surface
from stages.engine.work import Work

_STANDING = {rule.id for rule in RULES if rule.standing}
_ACTIONS = {
    EntryKind.STARTED: Action.START,
    EntryKind.COAT: Action.COAT,
    EntryKind.SANDED: Action.SAND,
    EntryKind.FINISHED: Action.FINISH,
    EntryKind.MOVED: Action.MOVE,
    EntryKind.LEFT_OUT: Action.LEAVE_OUT,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Breach:
    """An entry that breaks a rule which nobody overrode for it."""

    entry: LogEntry
    finding: Finding


def breaches(work: Work, entries: Iterable[LogEntry]) -> tuple[Breach, ...]:
    """Every standing rule that an entry in force breaks, judged in the state just before that entry.

    Parameters
    ----------
    work : Work
        Route and world of the hull; its state is not used.
    entries : iterable of LogEntry
        The whole log, strikes included.

    Notes
    -----
    Rules of the moment (a free place) are not asked again.
    """
    return _judged(work, HullState(), in_force(entries))


def newly_broken(work: Work, before: Iterable[LogEntry], after: Iterable[LogEntry]) -> tuple[Breach, ...]:
    """Breaches that a changed log has and the log before it had not."""
    old, new = in_force(before), in_force(after)
    pairs = zip(old, new, strict=False)
    same = sum(1 for _ in takewhile(lambda pair: pair[0].id == pair[1].id, pairs))
    state = reduce(lambda state, entry: step(state, entry, work.route), old[:same], HullState())
    known = {(breach.entry.id, breach.finding.rule) for breach in _judged(work, state, old[same:])}
    return tuple(b for b in _judged(work, state, new[same:]) if (b.entry.id, b.finding.rule) not in known)


def _judged(work: Work, state: HullState, entries: Iterable[LogEntry]) -> tuple[Breach, ...]:
    """Breaches of entries that follow on a state, in the order in which they happened."""
    found: list[Breach] = []
    for entry in entries:
        ask = ask_of(work, entry)
        if ask is not None:
            found += [
                Breach(entry=entry, finding=finding)
                for finding in judge(work.with_state(state), ask)
                if finding.refuses and finding.rule in _STANDING and finding.rule not in entry.overridden
            ]
        state = step(state, entry, work.route)
    return tuple(found)


def ask_of(work: Work, entry: LogEntry) -> Ask | None:
    """The question that the engine was asked before an entry; None for entries that no rule judges."""
    action = _ACTIONS.get(entry.kind)
    if action is None:
        return None
    details = entry.details
    station = work.world.stations.get(details["station"]) if entry.kind is EntryKind.MOVED else None
    return Ask(
        action=action,
        at=entry.at,
        stage=work.route.by_key[entry.stage] if entry.stage else None,
        product=work.world.products.get(details.get("product", 0)),
        surface=Surface(details["surface"]) if "surface" in details else None,
        zone=details.get("zone"),
        station=station,
        wet_method=details.get("wet_method", False),
    )
