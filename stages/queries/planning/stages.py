"""Each open stage of a hull as a part of the problem."""

from dataclasses import replace

from stages.engine.assess import StageStatus
from stages.engine.vocab import Gate
from stages.planner.problem import Step
from stages.queries.planning.coats import coats_of
from stages.queries.planning.ground import Ground
from stages.queries.planning.part import Part, key_of, step_of
from stages.queries.work import InWork


def part_of(ground: Ground, hull: InWork, status: StageStatus) -> Part:
    """An open stage as steps."""
    spec = status.spec
    if Gate.APPROVED in spec.gates:
        return _asking(ground, hull, status)
    if spec.coats:
        return coats_of(ground, hull, status)
    hours = ground.hours.left(hull.work, spec)
    step = step_of(ground, hull, spec, hours, key=key_of(hull, spec), title=spec.name)
    return Part(status=status, steps=(step,), ends=(step.key,))


def _asking(ground: Ground, hull: InWork, status: StageStatus) -> Part:
    """The step that waits for the estimate: made and sent by hands, then its owner thinks it over."""
    spec, work, asks = status.spec, hull.work, ground.approvals
    key = key_of(hull, spec)
    if waits := asks.waits(hull.hull.pk, work):
        step = Step(key=key, job=work.tag, title=spec.name, kind=spec.key, holds=(waits,))
    else:
        step = step_of(ground, hull, spec, ground.hours.left(work, spec), key=key, title=spec.name)
        if asks.must_ask(work):
            step = replace(step, dry=asks.answer_slots)
    return Part(status=status, steps=(step,), ends=(key,))
