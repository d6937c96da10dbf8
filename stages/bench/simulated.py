"""Simulated shops whose truth is known: what they learn of their hours, and how often their forecasts hold."""

import math

import numpy as np
from numpy.typing import NDArray

from stages.bench.shops import invented_shop
from stages.planner.ahead import Days
from stages.planner.forecast import EARLY, LATE, Replays, finishes
from stages.planner.hours import USUAL, learn
from stages.planner.listplan import list_plan
from stages.planner.noise import Noise, damp
from stages.planner.problem import Problem
from stages.planner.scores import HitShare

RECORD = 12  # boats on which each kind of work was done before


def hits(*, shops: int, boats: int, samples: int, seed: int) -> HitShare:
    """How often the range from 10 to 90 % holds the day on which a boat is done.

    Parameters
    ----------
    shops, boats : int
        Shops, and boats in each. The truth of each kind of work is drawn anew for each shop: its own middle, its own
        spread. It has done a dozen boats, learns from them, plans and forecasts; then what comes is drawn by the truth.
    samples : int
        Replays of a forecast.
    seed : int
        The same number, the same shops.
    """
    held = 0
    for number in range(shops):
        draw = np.random.default_rng((seed, number))
        problem = invented_shop(boats, seed * 1000 + number)
        held += _held(problem, draw, samples)
    return HitShare(hits=held, of=shops * boats)


def _held(problem: Problem, draw: np.random.Generator, samples: int) -> int:
    plan = list_plan(problem)
    truths = {kind: _truth(draw) for kind in dict.fromkeys(step.kind for step in problem.steps)}
    beliefs = {kind: learn(_ratios(truth, RECORD, draw).tolist()) for kind, truth in truths.items()}
    noise = Noise(hours=beliefs)
    told = finishes(problem, plan, noise, samples, seed=1)
    ratios = [_ratios(truths[step.kind], 1, draw)[0] / beliefs[step.kind].factor for step in problem.steps]
    replays, days = Replays(problem, plan, noise), Days.of(problem, noise)
    came = replays.ends(np.array(ratios), damp(noise, replays.planned, draw), days.draw(draw))
    ranges = [np.quantile(told[boat], (EARLY, LATE)) for boat in replays.boats]
    return sum(bool(low <= end <= high) for (low, high), end in zip(ranges, came.tolist(), strict=True))


def _truth(draw: np.random.Generator) -> tuple[float, float]:
    """A kind of work's middle and spread, as shops have them before anything is known of them."""
    spread = USUAL.spread * math.sqrt(USUAL.freedom / draw.chisquare(USUAL.freedom))
    return USUAL.mean + spread / math.sqrt(USUAL.weight) * draw.standard_normal(), spread


def _ratios(truth: tuple[float, float], boats: int, draw: np.random.Generator) -> NDArray[np.float64]:
    middle, spread = truth
    made: NDArray[np.float64] = np.exp(middle + spread * draw.standard_normal(boats))
    return made
