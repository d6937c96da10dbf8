"""When each boat is done, as a range: the plan replayed many times, each time with other hours, air and weather."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hulls.wording import gettext_noop
from stages.planner.ahead import Days
from stages.planner.arrays import Arrays
from stages.planner.errors import PlannerError
from stages.planner.noise import Noise, damp, slow
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule

EARLY, LIKELY, SUGGESTED, LATE = 0.1, 0.5, 0.8, 0.9
SAMPLES = 300
MOST_SAMPLES = 10_000  # a chance then has a standard error of 0.5 % at most; more takes minutes and tells no more


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """When a boat is done.

    Parameters
    ----------
    early, likely, late : int
        Slots by which it is done with a chance of 10, 50 and 90 %.
    suggested : int
        Slot by which it is done with a chance of 80 %: what may be promised.
    chance : float or None
        Of keeping the promise that there is; None without one.
    """

    early: int
    likely: int
    suggested: int
    late: int
    chance: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """By boat, when it is done; boats of which a step has no place in the plan are not there."""

    finishes: Mapping[str, Finish]
    samples: int


def forecast(problem: Problem, schedule: Schedule, noise: Noise, samples: int = SAMPLES, seed: int = 0) -> Forecast:
    """Replay a plan many times.

    Parameters
    ----------
    problem, schedule : Problem, Schedule
        What is planned, and the plan that the shop goes by.
    noise : Noise
        What is uncertain.
    samples : int
        Replays, `MOST_SAMPLES` at most; the chance of a promise has a standard error of 0.5 over their square root, at
        most.
    seed : int
        The same number and inputs, the same forecast.

    Raises
    ------
    PlannerError
        When there is to be no replay at all, or more than anybody waits for.
    """
    ends = finishes(problem, schedule, noise, samples, seed)
    by_key = {job.key: job for job in problem.jobs}
    return Forecast(
        finishes={key: _finish(row, by_key[key].due) for key, row in ends.items()},
        samples=samples,
    )


def finishes(
    problem: Problem, schedule: Schedule, noise: Noise, samples: int, seed: int
) -> dict[str, NDArray[np.int64]]:
    """By boat, the slot at which it was done in each replay."""
    if samples < 1:
        raise PlannerError("samples", gettext_noop("A forecast takes one replay at least."))
    if samples > MOST_SAMPLES:
        raise PlannerError("samples", gettext_noop("A forecast takes 10,000 replays at most; more would tell no more."))
    if not schedule.placed:
        return {}
    replays, days = Replays(problem, schedule, noise), Days.of(problem, noise)
    ends = []
    for source in np.random.SeedSequence(seed).spawn(samples):
        draw = np.random.default_rng(source)
        ends.append(replays.ends(slow(problem, noise, draw), damp(noise, replays.planned, draw), days.draw(draw)))
    return dict(zip(replays.boats, np.array(ends).T, strict=True))


class Replays:
    """Replays of one plan; ``boats`` are those of which every step has its place, ``planned`` says where steps end."""

    def __init__(self, problem: Problem, schedule: Schedule, noise: Noise) -> None:
        from stages.planner.replay_of import replay_of  # compiled functions take a third of a second to import

        self._state = replay_of(problem, Arrays.of(problem), schedule, Days.of(problem, noise))
        placed = self._state.steps["placed"] == 1
        number = {job.key: at for at, job in enumerate(problem.jobs)}
        jobs = np.array([number[step.job] for step in problem.steps], np.int64)
        self._placed, self._jobs = placed, jobs[placed]
        self._whole = np.setdiff1d(jobs[placed], jobs[~placed])
        self.boats = tuple(problem.jobs[at].key for at in self._whole.tolist())
        self.planned: NDArray[np.int64] = self._state.steps["plan_end"]

    def ends(self, slow: NDArray[np.float64], damp: NDArray[np.float64], dry: NDArray[np.bool_]) -> NDArray[np.int64]:
        """By boat, the slot at which it is done in one replay: see `stages.planner.dispatch.replay`."""
        from stages.planner.dispatch import replay

        replay(self._state, slow, damp, dry)
        ends = np.full(self._jobs.max() + 1, np.iinfo(np.int64).min)
        np.maximum.at(ends, self._jobs, self._state.steps["ready"][self._placed])
        whole: NDArray[np.int64] = ends[self._whole]
        return whole


def _finish(ends: NDArray[np.int64], due: int | None) -> Finish:
    early, likely, suggested, late = np.quantile(ends, (EARLY, LIKELY, SUGGESTED, LATE), method="inverted_cdf").tolist()
    return Finish(
        early=early,
        likely=likely,
        suggested=suggested,
        late=late,
        chance=None if due is None else float(np.mean(ends <= due)),
    )
