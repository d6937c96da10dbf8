"""How a boat leaves: by which step, and what keeps it from going."""

from datetime import datetime

from stages.engine.findings import Ask, Finding
from stages.engine.log import EntryKind, LogEntry
from stages.engine.replay import step
from stages.engine.route import Route, StageSpec
from stages.engine.rules import judge
from stages.engine.vocab import Action, Gate
from stages.engine.work import Work


def leaves_by(route: Route) -> StageSpec:
    """The step by which a boat goes home; every route has one."""
    return next(spec for spec in route.stages if Gate.HAND_OVER in spec.gates)


def in_the_way(work: Work, now: datetime) -> tuple[Finding, ...]:
    """What keeps a boat from being handed over: what its step asks of its start and of its end, asked at once.

    Parameters
    ----------
    work : Work
        The hull in its shop.
    now : datetime
        The moment, aware.
    """
    spec = leaves_by(work.route)
    found: list[Finding] = []
    if work.state.stage(spec.key).started_at is None:
        found += judge(work, Ask(action=Action.START, at=now, stage=spec))
        begun = LogEntry(id=0, kind=EntryKind.STARTED, at=now, stage=spec.key)
        work = work.with_state(step(work.state, begun, work.route))
    found += judge(work, Ask(action=Action.FINISH, at=now, stage=spec))
    once = {(finding.rule, str(finding.words)): finding for finding in found}
    return tuple(sorted(once.values(), key=lambda finding: not finding.refuses))
