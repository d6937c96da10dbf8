"""Wood: its moisture at or under the limit before oil, varnish or canvas, and before glue."""

from datetime import datetime

import numpy as np

from hulls.wording import gettext_noop
from stages.engine import wood
from stages.engine.airlog import HOUR_S, AirLog, seconds_of
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import find
from stages.engine.state import MoistureReading
from stages.engine.vocab import Action, Gate, ProductKind, Severity, Surface
from stages.engine.work import Work


def limit_pct(work: Work, ask: Ask) -> float | None:
    """The most moisture, %, that the wood may hold for an action; None where the wood does not matter."""
    limits = work.world.wood
    if ask.action is Action.START:
        return limits.glue_pct if ask.stage and Gate.GLUE in ask.stage.gates else None
    kind = ask.product.kind if ask.product else None
    if kind is ProductKind.CANVAS:
        return limits.canvas_pct
    if ask.surface in (None, Surface.SKIN) or _covered(work, ask.surface):
        return None
    return limits.oil_pct if kind is ProductKind.OIL else limits.varnish_pct


def _covered(work: Work, surface: Surface) -> bool:
    return bool(work.state.stack(surface)) or surface in work.state.old_finish


def since_wet(work: Work) -> tuple[MoistureReading, ...]:
    """The hull's readings since it was last washed or stripped: those from before say nothing any more."""
    finished = [work.state.stage(spec.key).finished_at for spec in work.route.stages if spec.strips]
    wet_at = max((at for at in finished if at), default=None)
    return tuple(reading for reading in work.state.moisture if wet_at is None or reading.at >= wet_at)


def drying(work: Work, limit: float) -> wood.DryingEstimate | None:
    """When the hull's wood comes down to a limit in the air where it stands; None without readings or air."""
    readings = since_wet(work)
    log = work.world.air.get(work.station.zone) if work.station else None
    if not readings or log is None:
        return None
    taken = [wood.MoistureReading(at=reading.at, moisture_pct=reading.moisture_pct) for reading in readings]
    return wood.estimate(taken, _tends_to_pct(log, readings[-1].at), limit)


def _tends_to_pct(log: AirLog, at: datetime) -> float:
    """What the wood tends to, %, over the day before a moment: it answers in days, not to one damp morning."""
    air_c, rh_pct, _surface_c = log.columns_at(seconds_of(at) - HOUR_S * np.arange(24.0))
    return float(np.mean(wood.emc_pct(air_c, rh_pct)))


def _check(work: Work, ask: Ask) -> Finding | None:
    limit = limit_pct(work, ask)
    if limit is None:
        return None
    readings = since_wet(work)
    if not readings:
        return find(
            RULE,
            say(gettext_noop("No moisture reading of this hull's wood is on record since it was last wet.")),
            say(gettext_noop("Measure it in a few spots and record it.")),
            severity=Severity.WARNS,
        )
    last = readings[-1].moisture_pct
    if last <= limit:
        return None
    estimate = drying(work, limit)
    words = say(gettext_noop("The wood holds %(is)s %% moisture; %(limit)s %% is the most."), **_numbers(last, limit))
    clears = say(gettext_noop("Let it dry, and measure it again."))
    likely = estimate.likely if estimate else None
    return find(RULE, words, clears, earliest=likely if likely and likely > ask.at else None)


def _numbers(last: float, limit: float) -> dict[str, object]:
    return {"is": f"{last:.3g}", "limit": f"{limit:.3g}"}  # 15.1 % is over 15 %


RULE = Rule(
    id="wood",
    title=gettext_noop("Wood"),
    holds=gettext_noop("The wood's moisture is at or under the shop's limit before oil, varnish, canvas or glue."),
    actions=frozenset({Action.START, Action.COAT}),
    reason=gettext_noop("Wet wood pushes its finish off, rots under canvas and starves a glue joint."),
    source="limits from memory, each shop's to set; equilibrium by the USDA Wood Handbook, eq. 4-5",
    check=_check,
)
