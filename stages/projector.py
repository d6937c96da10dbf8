"""Between the engine's state of a hull and the tables that pages read: one writes, one reads, and audit compares."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from stages.engine.state import Agreement, Coat, HullState, MoistureReading, StageRecord, Stay
from stages.engine.vocab import Answer, Condition, Damage, Paper, Surface
from stages.models import CoatOn, HullWork, StageState

STAGE_FIELDS = (
    "started_at",
    "started_by",
    "finished_at",
    "finished_by",
    "left_out",
    "wet_method",
    "coats_on",
    "rags_due_since",
    "hours",
)
COAT_FIELDS = ("stage", "at", "number", "lot", "sanded_at", "sanded_grit", "entry")


def state_of(row: HullWork, states: Iterable[StageState], coats: Iterable[CoatOn]) -> HullState:
    """The engine's state as the tables hold it.

    Parameters
    ----------
    row : HullWork
        The hull's row.
    states, coats : iterables
        Its stage states, and its coats from the wood outward.
    """
    stacks: dict[Surface, tuple[Coat, ...]] = {}
    for coat in coats:
        surface = Surface(coat.surface)
        stacks[surface] = (*stacks.get(surface, ()), _coat(coat))
    stages = {s.stage: StageRecord(**{name: getattr(s, name) for name in STAGE_FIELDS}) for s in states}
    return HullState(
        arrived_at=row.arrived_at,
        handed_over_at=row.handed_over_at,
        stages=stages,
        stacks=stacks,
        **_read_facts(row.facts),
    )


def write(row: HullWork, before: HullState, after: HullState, *, lines: int) -> None:
    """Bring the tables from one state to the next; what did not change is not touched.

    Parameters
    ----------
    row : HullWork
        The hull's row.
    before, after : HullState
        What the log added up to without and with its last line.
    lines : int
        The number of lines of the log.
    """
    fill(row, after, lines=lines)
    row.save()
    _write_stages(row, before, after)
    _write_coats(row, before, after)


def fill(row: HullWork, state: HullState, *, lines: int) -> None:
    """Make the hull's own row hold a state, without saving it."""
    stay = state.stay
    row.station_id, row.place = (stay.station, stay.place) if stay else (None, None)
    row.arrived_at, row.handed_over_at = state.arrived_at, state.handed_over_at
    row.facts, row.lines = _write_facts(state), lines


def _coat(coat: CoatOn) -> Coat:
    same = {name: getattr(coat, name) for name in COAT_FIELDS}
    return Coat(surface=Surface(coat.surface), product=coat.product_id, zone=coat.zone_id, **same)


def _write_stages(row: HullWork, before: HullState, after: HullState) -> None:
    gone = [key for key in before.stages if key not in after.stages]
    if gone:
        row.stage_states.filter(stage__in=gone).delete()
    for key, record in after.stages.items():
        values = {name: getattr(record, name) for name in STAGE_FIELDS}
        if key not in before.stages:
            row.stage_states.create(stage=key, **values)
        elif before.stages[key] != record:
            row.stage_states.filter(stage=key).update(**values)


def _write_coats(row: HullWork, before: HullState, after: HullState) -> None:
    old, new = _layers(before), _layers(after)
    for surface, layer in (key for key, coat in old.items() if new.get(key) != coat):
        row.coats.filter(surface=surface, layer=layer).delete()
    CoatOn.objects.bulk_create(
        CoatOn(
            work=row,
            surface=key[0],
            layer=key[1],
            product_id=coat.product,
            zone_id=coat.zone,
            **{name: getattr(coat, name) for name in COAT_FIELDS},
        )
        for key, coat in new.items()
        if old.get(key) != coat
    )


def _layers(state: HullState) -> dict[tuple[str, int], Coat]:
    return {(str(s), layer): coat for s, stack in state.stacks.items() for layer, coat in enumerate(stack)}


def _write_facts(state: HullState) -> dict[str, Any]:
    return {
        "counts": {str(k): v for k, v in state.counts.items()},
        "old_finish": {str(k): str(v) for k, v in state.old_finish.items()},
        "old_sanded": {str(k): v.isoformat() for k, v in state.old_sanded.items()},
        "lead": state.lead,
        "moisture": [[m.at.isoformat(), m.moisture_pct, m.spot] for m in state.moisture],
        "stays": [[s.station, s.place, s.zone, s.since.isoformat()] for s in state.stays],
        "agreements": {label: _write_agreement(held) for label, held in state.agreements.items()},
    }


def _write_agreement(held: Agreement) -> list[Any]:
    at = held.at.isoformat() if held.at else None
    return [str(held.paper), held.version, held.digest, list(held.stages), str(held.answer), at]


def _read_agreement(paper: str, version: int, digest: str, stages: list[str], answer: str, at: str | None) -> Agreement:
    return Agreement(
        paper=Paper(paper),
        version=version,
        digest=digest,
        stages=tuple(stages),
        answer=Answer(answer),
        at=datetime.fromisoformat(at) if at else None,
    )


def _read_facts(facts: dict[str, Any]) -> dict[str, Any]:
    when = datetime.fromisoformat
    return {
        "counts": {Damage(k): v for k, v in facts.get("counts", {}).items()},
        "old_finish": {Surface(k): Condition(v) for k, v in facts.get("old_finish", {}).items()},
        "old_sanded": {Surface(k): when(v) for k, v in facts.get("old_sanded", {}).items()},
        "lead": facts.get("lead"),
        "moisture": tuple(
            MoistureReading(at=when(at), moisture_pct=pct, spot=spot) for at, pct, spot in facts.get("moisture", ())
        ),
        "stays": tuple(
            Stay(station=station, place=place, zone=zone, since=when(since))
            for station, place, zone, since in facts.get("stays", ())
        ),
        "agreements": {label: _read_agreement(*held) for label, held in facts.get("agreements", {}).items()},
    }
