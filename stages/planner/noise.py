"""What nobody knows of the weeks ahead: how long work takes, how fast coats dry, which days are wet."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from hulls.wording import gettext_noop
from stages.planner.errors import PlannerError
from stages.planner.hours import USUAL, HoursBelief
from stages.planner.keys import check_spans
from stages.planner.problem import Problem
from stages.planner.timegrid import SLOTS_A_DAY, Spans

# Of the logarithm of dry times: of a fortnight's air, and of each coat. Common practice, no published source.
AIR_SPREAD, COAT_SPREAD = 0.15, 0.10
PERIOD = 14 * SLOTS_A_DAY
MOST_FACTOR = 20.0  # no step takes more than so many times what is expected


@dataclass(frozen=True, slots=True, kw_only=True)
class Wet:
    """Days whose weather is not known yet: a first-order Markov chain from day to day.

    Gabriel and Neumann 1962, A Markov chain model for daily rainfall occurrence at Tel Aviv, Quarterly Journal of the
    Royal Meteorological Society 88.

    Parameters
    ----------
    days : mapping of str to spans
        By key in `Problem.weather`, one span a day and as many days for each key, beyond the days that are known: the
        slots in which work is held if that day is dry.
    after_dry, after_wet : float
        Chance that a day is wet after a dry one and after a wet one.
    wet_before : bool or None
        Whether the day before the first of them is wet; None where nobody knows.
    """

    days: Mapping[str, Spans]
    after_dry: float
    after_wet: float
    wet_before: bool | None = None

    def __post_init__(self) -> None:
        if not (0.0 <= self.after_dry <= 1.0 and 0.0 <= self.after_wet <= 1.0):
            raise PlannerError("after_dry", gettext_noop("A chance lies between none and certainty."))
        if len({len(spans) for spans in self.days.values()}) > 1:
            raise PlannerError("days", gettext_noop("The same days are wet for all that is done outdoors."))
        for spans in self.days.values():
            check_spans("days", spans)

    @property
    def share(self) -> float:
        """Share of wet days in the long run."""
        change = self.after_dry + 1.0 - self.after_wet
        return self.after_dry / change if change else 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Noise:
    """What is uncertain, and how far; what steps are held for (stores on order, answers, arrivals) comes on its day.

    Parameters
    ----------
    hours : mapping of str to HoursBelief
        By `Step.kind`; the problem's sittings are taken as what the belief makes of the formula's hours
        (`HoursBelief.factor`).
    usual : HoursBelief or None
        Of kinds that are not in ``hours``; None where their hours are certain.
    air_spread, coat_spread : float
        Standard deviation of the logarithm of dry times: of all that dries in the same fortnight together, and of each
        coat by itself.
    weather : tuple of Wet
        Days that are drawn; what is in none of them comes as the problem has it.
    """

    hours: Mapping[str, HoursBelief] = field(default_factory=dict)
    usual: HoursBelief | None = USUAL
    air_spread: float = AIR_SPREAD
    coat_spread: float = COAT_SPREAD
    weather: tuple[Wet, ...] = ()

    def __post_init__(self) -> None:
        if self.air_spread < 0.0 or self.coat_spread < 0.0:
            raise PlannerError("air_spread", gettext_noop("A spread is zero or more."))


QUIET = Noise(usual=None, air_spread=0.0, coat_spread=0.0)  # all comes as planned


def slow(problem: Problem, noise: Noise, draw: np.random.Generator) -> NDArray[np.float64]:
    """By step, what its hours are multiplied by in one replay.

    Of each kind of work a variance and a mean are drawn from the belief, then each boat's hours given both: within one
    replay a kind that is slow is slow on every boat, and over all replays the next boat follows Student's t.
    """
    made = np.ones(len(problem.steps))
    for kind, at in _by_kind(problem):
        belief = noise.hours.get(kind, noise.usual)
        if belief is not None:
            spread = belief.spread * math.sqrt(belief.freedom / draw.chisquare(belief.freedom))
            mean = belief.mean + spread / math.sqrt(belief.weight) * draw.standard_normal()
            made[at] = np.exp(mean + spread * draw.standard_normal(len(at)) - math.log(belief.factor))
    return np.clip(made, 1 / MOST_FACTOR, MOST_FACTOR)


def _by_kind(problem: Problem) -> Iterator[tuple[str, NDArray[np.int64]]]:
    """Steps that need hands, by their kind, in the order of their first."""
    found: dict[str, list[int]] = {}
    for at, step in enumerate(problem.steps):
        if step.skill is not None and step.sittings:
            found.setdefault(step.kind, []).append(at)
    for kind, steps in found.items():
        yield kind, np.array(steps, np.int64)


def damp(noise: Noise, planned: NDArray[np.int64], draw: np.random.Generator) -> NDArray[np.float64]:
    """By step, what its dry time is multiplied by in one replay; ``planned`` says when the plan has it begin, slots."""
    period = np.maximum(planned, 0) // PERIOD
    air = noise.air_spread * draw.standard_normal(int(period.max(initial=0)) + 1)
    made: NDArray[np.float64] = np.exp(air[period] + noise.coat_spread * draw.standard_normal(len(planned)))
    return made


def dry_days(wet: Wet, draw: np.random.Generator) -> NDArray[np.bool_]:
    """Which of the days are dry in one replay."""
    days = max((len(spans) for spans in wet.days.values()), default=0)
    before = draw.random() < wet.share if wet.wet_before is None else wet.wet_before
    dry = np.empty(days, np.bool_)
    for day, chance in enumerate(draw.random(days).tolist()):
        before = chance < (wet.after_wet if before else wet.after_dry)
        dry[day] = not before
    return dry
