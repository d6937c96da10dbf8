"""Waiting times in somebody's own air: the dry clock by the label, in air that stays as it is."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from stages.advice.plan import Step
from stages.engine.air import check_air
from stages.engine.airlog import AirLog
from stages.engine.dryclock import dry_at
from stages.engine.label import Dryness, Label

START = datetime(2000, 1, 1, tzinfo=UTC)  # any moment: in steady air only the hours count
HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """How long a coat takes to a dryness.

    Parameters
    ----------
    dryness : Dryness
        What the wait is for.
    hours : float or None
        Hours by the clock on the wall; None where it stands still in this air.
    """

    dryness: Dryness
    hours: float | None


def steady_air(air_c: float, rh_pct: float) -> AirLog:
    """Give air that stays as it is.

    Raises
    ------
    EngineError
        Air that cannot be a shop's.
    """
    check_air(air_c, rh_pct)
    return AirLog.of((), assumed=(air_c, rh_pct))


def waits_of(step: Step, air: AirLog) -> tuple[Wait, ...]:
    """Give the waits of a step's coats, by the label and in the order in which they are met.

    Parameters
    ----------
    step : Step
        A step of the plan.
    air : AirLog
        From `steady_air`.

    Returns
    -------
    tuple of Wait
        Empty where the step has no coats, or its product does not dry. Where the label is silent on a dryness, the
        next one that stands in for it counts (`stages.engine.label.FALLBACK`).
    """
    label = step.product.label if step.product else None
    if label is None or not step.spec.coats:
        return ()
    return tuple(wait for dryness in _asked(step) if (wait := _wait(label, air, dryness)))


def _asked(step: Step) -> Iterator[Dryness]:
    product, again = step.product, step.next_coat
    sanded = product is not None and product.sand_between and (step.spec.coats > 1 or again is not None)
    if sanded:
        yield Dryness.SAND
    if step.spec.coats > 1:
        yield Dryness.RECOAT
    if again is not None:
        yield Dryness.TOPCOAT if again.product is not step.spec.product else Dryness.RECOAT
    else:
        yield Dryness.HANDLE


def _wait(label: Label, air: AirLog, dryness: Dryness) -> Wait | None:
    if label.hours_to(dryness) is None:
        return None
    at = dry_at(label, air, START, dryness).at
    return Wait(dryness=dryness, hours=(at - START) / HOUR if at else None)
