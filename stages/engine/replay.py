"""Replay: the fold of a hull's log into its state. The tables that pages read are exactly this."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from functools import reduce
from typing import Any, TypeVar

from stages.engine.log import EntryKind, LogEntry, in_force
from stages.engine.route import Route
from stages.engine.state import Agreement, Coat, HullState, MoistureReading, Stay
from stages.engine.vocab import Answer, Condition, Damage, Gate, Paper, Surface

K = TypeVar("K")
V = TypeVar("V")
Step = Callable[[HullState, LogEntry, Route], HullState]


def replay(route: Route, entries: Iterable[LogEntry]) -> HullState:
    """State of a hull after all entries that are in force.

    Parameters
    ----------
    route : Route
        The route version that the hull started with.
    entries : iterable of LogEntry
        Its whole log, in any order, strikes included.
    """
    return reduce(lambda state, entry: step(state, entry, route), in_force(entries), HullState())


def step(state: HullState, entry: LogEntry, route: Route) -> HullState:
    """State after one more entry; kinds that only tell (notes, photos, links) change nothing."""
    change = _STEPS.get(entry.kind)
    return change(state, entry, route) if change else state


def _with(mapping: Mapping[K, V], key: K, value: V) -> dict[K, V]:
    return {**mapping, key: value}


def _without(mapping: Mapping[K, V], key: K) -> dict[K, V]:
    return {k: v for k, v in mapping.items() if k != key}


def _record(state: HullState, key: str, **changes: Any) -> dict[str, Any]:
    return _with(state.stages, key, replace(state.stage(key), **changes))


def _arrived(state: HullState, entry: LogEntry, route: Route) -> HullState:
    old = {Surface(surface): Condition.UNKNOWN for surface in entry.details.get("old_finish", ())}
    return replace(state, arrived_at=entry.at, old_finish=old)


def _survey(state: HullState, entry: LogEntry, route: Route) -> HullState:
    found = {Surface(k): Condition(v) for k, v in entry.details.get("conditions", {}).items()}
    kept = {surface: found.get(surface, condition) for surface, condition in state.old_finish.items()}
    counts = {Damage(k): int(v) for k, v in entry.details.get("counts", {}).items()}
    return _counted(replace(state, old_finish=kept), counts, route)


def _found(state: HullState, entry: LogEntry, route: Route) -> HullState:
    damage = Damage(entry.details["damage"])
    return _counted(state, {damage: state.counts.get(damage, 0) + int(entry.details["count"])}, route)


def _counted(state: HullState, counts: Mapping[Damage, int], route: Route) -> HullState:
    """Where more is to be mended than was known, the stage that mends it opens again, also if it was left out."""
    more = {damage for damage, count in counts.items() if count > state.counts.get(damage, 0)}
    again = {
        spec.key: replace(state.stages[spec.key], finished_at=None, finished_by=None, left_out="")
        for spec in route.stages
        if spec.counted in more and spec.key in state.stages
    }
    return replace(state, counts={**state.counts, **counts}, stages={**state.stages, **again})


def _started(state: HullState, entry: LogEntry, route: Route) -> HullState:
    wet = entry.details.get("wet_method", False)
    due = entry.at if Gate.RAGS in route.by_key[entry.stage].gates else None
    return replace(
        state,
        stages=_record(
            state, entry.stage, started_at=entry.at, started_by=entry.by, wet_method=wet, rags_due_since=due
        ),
    )


def _coat(state: HullState, entry: LogEntry, route: Route) -> HullState:
    surface = Surface(entry.details["surface"])
    record = state.stage(entry.stage)
    # A coat of another kind, or elsewhere, went on in spite of the rules: it is none of those that the plan asks for.
    spec = route.by_key[entry.stage]
    planned = entry.details.get("kind", spec.product) == spec.product and surface is spec.surface
    coats_on = record.coats_on + planned
    coat = Coat(
        entry=entry.id,
        stage=entry.stage,
        surface=surface,
        product=entry.details["product"],
        zone=entry.details["zone"],
        at=entry.at,
        number=coats_on if planned else 0,
        lot=entry.details.get("lot", ""),
    )
    due = entry.at if entry.details.get("self_heating") else record.rags_due_since
    return replace(
        state,
        stacks=_with(state.stacks, surface, (*state.stack(surface), coat)),
        stages=_record(state, entry.stage, coats_on=coats_on, rags_due_since=due),
    )


def _sanded(state: HullState, entry: LogEntry, route: Route) -> HullState:
    surface = Surface(entry.details["surface"])
    *under, top = state.stack(surface) or (None,)
    if top is None:
        return replace(state, old_sanded=_with(state.old_sanded, surface, entry.at))
    sanded = replace(top, sanded_at=entry.at, sanded_grit=entry.details.get("grit"))
    return replace(state, stacks=_with(state.stacks, surface, (*under, sanded)))


def _finished(state: HullState, entry: LogEntry, route: Route) -> HullState:
    spec = route.by_key[entry.stage]
    told, before = entry.details.get("hours"), state.stage(entry.stage).hours
    hours = before if told is None else told + (before or 0.0)
    state = replace(state, stages=_record(state, entry.stage, finished_at=entry.at, finished_by=entry.by, hours=hours))
    if spec.strips:
        state = replace(
            state,
            old_finish=_without(state.old_finish, spec.strips),
            old_sanded=_without(state.old_sanded, spec.strips),
            stacks=_without(state.stacks, spec.strips),
        )
    if Gate.HAND_OVER in spec.gates:
        state = replace(state, handed_over_at=entry.at, stays=(*state.stays, _gone(entry.at)))
    return state


def _gone(at: datetime) -> Stay:
    return Stay(station=None, place=0, zone=None, since=at)


def _moved(state: HullState, entry: LogEntry, route: Route) -> HullState:
    to = entry.details
    stay = Stay(station=to["station"], place=to["place"], zone=to["zone"], since=entry.at)
    return replace(state, stays=(*state.stays, stay))


def _moisture(state: HullState, entry: LogEntry, route: Route) -> HullState:
    reading = MoistureReading(
        at=entry.at, moisture_pct=entry.details["moisture_pct"], spot=entry.details.get("spot", "")
    )
    return replace(state, moisture=(*state.moisture, reading))


def _lead_test(state: HullState, entry: LogEntry, route: Route) -> HullState:
    return replace(state, lead=bool(entry.details["positive"]) or bool(state.lead))


def _rags(state: HullState, entry: LogEntry, route: Route) -> HullState:
    return replace(state, stages=_record(state, entry.stage, rags_due_since=None))


def _left_out(state: HullState, entry: LogEntry, route: Route) -> HullState:
    return replace(state, stages=_record(state, entry.stage, left_out=entry.details["reason"]))


def _put_back(state: HullState, entry: LogEntry, route: Route) -> HullState:
    return replace(state, stages=_record(state, entry.stage, left_out=""))


def _estimate(state: HullState, entry: LogEntry, route: Route) -> HullState:
    label, what = entry.details["label"], entry.details["what"]
    if what == "sent":
        asked = Agreement(
            paper=Paper(entry.details["paper"]),
            version=entry.details["version"],
            digest=entry.details["digest"],
            stages=tuple(entry.details.get("stages", ())),
        )
        return replace(state, agreements=_with(state.agreements, label, asked))
    answered = replace(state.agreements[label], answer=Answer(what), at=entry.at)
    state = replace(state, agreements=_with(state.agreements, label, answered))
    approved = answered.paper is Paper.ESTIMATE and answered.answer is Answer.APPROVED
    return _past_the_gate(state, entry, route) if approved else state


def _past_the_gate(state: HullState, entry: LogEntry, route: Route) -> HullState:
    """The owner's yes is all that the step which waits for it asks for: it is done with it."""
    done = {
        spec.key: replace(record, started_at=record.started_at or entry.at, finished_at=entry.at, finished_by=entry.by)
        for spec in route.stages
        if Gate.APPROVED in spec.gates and not (record := state.stage(spec.key)).finished_at and not record.left_out
    }
    return replace(state, stages={**state.stages, **done})


_STEPS: dict[EntryKind, Step] = {
    EntryKind.ARRIVED: _arrived,
    EntryKind.SURVEY: _survey,
    EntryKind.FOUND: _found,
    EntryKind.STARTED: _started,
    EntryKind.COAT: _coat,
    EntryKind.SANDED: _sanded,
    EntryKind.FINISHED: _finished,
    EntryKind.MOVED: _moved,
    EntryKind.MOISTURE: _moisture,
    EntryKind.LEAD_TEST: _lead_test,
    EntryKind.RAGS: _rags,
    EntryKind.LEFT_OUT: _left_out,
    EntryKind.PUT_BACK: _put_back,
    EntryKind.ESTIMATE: _estimate,
}
