"""The heart: where every stage of a hull stands now, and why those that may not go ahead may not."""

from dataclasses import dataclass, replace
from datetime import datetime

from stages.engine.findings import Ask, Finding
from stages.engine.label import Dryness
from stages.engine.route import StageSpec
from stages.engine.rules import judge
from stages.engine.rules.dry import base_of, dryness_for, needs_to_start
from stages.engine.rules.order import RULE as ORDER
from stages.engine.state import Coat, StageRecord
from stages.engine.vocab import Action, State
from stages.engine.work import Work
from stages.engine.world import Station


@dataclass(frozen=True, slots=True, kw_only=True)
class Drying:
    """A coat on its way: to which dryness, how far (0 to 1), and when it is there (None: it stands still)."""

    coat: Coat
    dryness: Dryness
    share: float
    at: datetime | None
    assumed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StageStatus:
    """One stage of one hull, now.

    Parameters
    ----------
    spec : StageSpec
        The stage.
    record : StageRecord
        What was recorded of it.
    state : State
        Where it stands.
    next : Action or None
        What hands do next on it; None when it is over or only waits.
    findings : tuple of Finding
        What the rules say of that action.
    hours : float
        Hours of work that it asks for, h.
    drying : Drying or None
        The coat that it waits for.
    move_to : Station or None
        Where the hull must be moved for it.
    """

    spec: StageSpec
    record: StageRecord
    state: State
    next: Action | None = None
    findings: tuple[Finding, ...] = ()
    hours: float = 0.0
    drying: Drying | None = None
    move_to: Station | None = None

    @property
    def hands(self) -> bool:
        """Whether hands could work on it now."""
        return self.next is not None and not any(finding.refuses for finding in self.findings)

    @property
    def earliest(self) -> datetime | None:
        """When it may go ahead at the earliest; None when that hangs on hands or is not known."""
        refusing = [finding.earliest for finding in self.findings if finding.refuses]
        if not refusing or None in refusing:
            return None
        return max(moment for moment in refusing if moment is not None)


def assess(work: Work, now: datetime) -> tuple[StageStatus, ...]:
    """Every stage of the route with its state and findings, in the trade's order.

    Parameters
    ----------
    work : Work
        The hull in its shop.
    now : datetime
        The moment, aware.
    """
    return tuple(_status(work, spec, now) for spec in work.route.stages)


def headline(statuses: tuple[StageStatus, ...]) -> StageStatus | None:
    """The stage that speaks for the hull: what hands can do, else what is in hand, else what waits first."""
    live = [status for status in statuses if status.state not in (State.FINISHED, State.LEFT_OUT)]
    started = [status for status in live if status.record.started_at]
    for group in ([s for s in started if s.hands], started, [s for s in live if s.hands], live):
        if group:
            return group[0]
    return None


def _status(work: Work, spec: StageSpec, now: datetime) -> StageStatus:
    record = work.state.stage(spec.key)
    over, too_early = _over(record), None
    if not over and not spec.when.holds(work.scope):
        return StageStatus(spec=spec, record=record, state=State.LEFT_OUT)
    if work.state.handed_over_at is not None:
        over = over or State.LEFT_OUT  # the boat left without it
    if not over and record.started_at is None:
        # Most stages wait for another one: what else they will need is asked when their turn comes.
        too_early = ORDER.check(work, _to_start(work, spec, now))
    status = StageStatus(
        spec=spec,
        record=record,
        state=over or State.WAITING,
        findings=(too_early,) if too_early else (),
        hours=spec.hours(work.scope),
    )
    if over or too_early:
        return status
    return _not_started(work, status, now) if record.started_at is None else _in_hand(work, status, now)


def _over(record: StageRecord) -> State | None:
    if record.finished_at is not None:
        return State.FINISHED
    return State.LEFT_OUT if record.left_out else None


def _to_start(work: Work, spec: StageSpec, now: datetime) -> Ask:
    return Ask(action=Action.START, at=now, stage=spec, wet_method=bool(work.state.lead))


def _not_started(work: Work, status: StageStatus, now: datetime) -> StageStatus:
    findings = judge(work, _to_start(work, status.spec, now))
    refusing = [finding.rule for finding in findings if finding.refuses]
    if refusing == ["place"]:
        moved = _by_moving(work, status, findings, now)
        return replace(moved, state=State.READY) if moved.next else moved
    if refusing:
        return replace(status, findings=findings, drying=_drying_need(work, status.spec, now))
    return replace(status, state=State.READY, next=Action.START, findings=findings)


def _by_moving(work: Work, status: StageStatus, findings: tuple[Finding, ...], now: datetime) -> StageStatus:
    """Only the place is wrong: hands move the hull, where there is room and it may be moved."""
    assert status.spec.station is not None
    target = next((station for station in work.world.of_kind(status.spec.station) if station.free), None)
    if target is None:
        return replace(status, findings=findings)
    moving = judge(work, Ask(action=Action.MOVE, at=now, station=target))
    if any(finding.refuses for finding in moving):
        return replace(status, findings=moving)
    return replace(status, next=Action.MOVE, findings=moving, move_to=target)


def _drying_need(work: Work, spec: StageSpec, now: datetime) -> Drying | None:
    needs = [(coat, dryness) for coat, dryness in needs_to_start(work, spec) if coat]
    waits = [_drying(work, coat, dryness, now) for coat, dryness in needs if not work.is_dry(coat, dryness, now)]
    return min(waits, key=lambda drying: drying.share, default=None)


def _in_hand(work: Work, status: StageStatus, now: datetime) -> StageStatus:
    spec, record = status.spec, status.record
    told = _next_coat(work, status, now) if record.coats_on < spec.coats else _after_coats(work, status, now)
    if record.rags_due_since is not None and (record.coats_on or not spec.coats):
        # Before anything else, and long before the coat is dry: rags take fire within hours.
        return replace(told, next=Action.RAGS, findings=(), move_to=None)
    return told


def _after_coats(work: Work, status: StageStatus, now: datetime) -> StageStatus:
    spec = status.spec
    top = work.state.top(spec.surface) if spec.surface and spec.coats else None
    if top and not work.is_dry(top, Dryness.HANDLE, now):
        findings = judge(work, Ask(action=Action.FINISH, at=now, stage=spec))
        drying = _drying(work, top, Dryness.HANDLE, now)
        return replace(status, state=State.DRYING, findings=findings, drying=drying)
    return _finish(work, status, now)


def _finish(work: Work, status: StageStatus, now: datetime) -> StageStatus:
    findings = judge(work, Ask(action=Action.FINISH, at=now, stage=status.spec))
    if any(finding.rule == "outdoors" and finding.refuses for finding in findings):
        return replace(status, state=State.DRYING, findings=findings)
    return replace(status, state=State.ON_BENCH, next=Action.FINISH, findings=findings)


def _next_coat(work: Work, status: StageStatus, now: datetime) -> StageStatus:
    spec = status.spec
    assert spec.surface is not None
    assert spec.product is not None
    product = work.product_for(spec)
    stay = work.state.stay
    ask = Ask(
        action=Action.COAT,
        at=now,
        stage=spec,
        product=product,
        surface=spec.surface,
        zone=stay.zone if stay else None,
    )
    findings = judge(work, ask)
    refusing = {finding.rule for finding in findings if finding.refuses}
    base = base_of(work, spec.surface, spec.product)
    if base and "dry" in refusing:
        drying = _drying(work, base, dryness_for(work, base, spec.product), now)
        # While it is wet nobody can sand it: that is asked when its turn comes.
        waits = tuple(finding for finding in findings if finding.rule != "sand_between")
        return replace(status, state=State.DRYING, findings=waits, drying=drying)
    if "sand_between" in refusing and refusing <= {"sand_between", "place"}:
        wet = bool(work.state.lead)
        sanding = judge(work, Ask(action=Action.SAND, at=now, stage=spec, surface=spec.surface, wet_method=wet))
        return replace(status, state=State.ON_BENCH, next=Action.SAND, findings=sanding)
    coating = replace(status, state=State.ON_BENCH, next=Action.COAT, findings=findings)
    return _by_moving(work, coating, findings, now) if refusing == {"place"} else coating


def _drying(work: Work, coat: Coat, dryness: Dryness, now: datetime) -> Drying:
    reached = work.dry_at(coat, dryness)
    return Drying(
        coat=coat,
        dryness=dryness,
        share=work.share(coat, dryness, now),
        at=reached.at if reached else coat.at,
        assumed=bool(reached and reached.assumed),
    )
