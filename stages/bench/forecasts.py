"""How fast and how true forecasts are: 60 boats beside planning every replay anew, and simulated shops."""

from dataclasses import replace
from time import perf_counter

import numpy as np
from numpy.typing import NDArray

from stages.bench.figures import Figure
from stages.bench.shops import invented_shop
from stages.bench.simulated import hits
from stages.planner.compare import finishes as planned_finishes
from stages.planner.decode import decode
from stages.planner.forecast import finishes
from stages.planner.listplan import list_plan
from stages.planner.noise import Noise, slow
from stages.planner.problem import Problem
from stages.planner.timegrid import SLOT_MIN, cut

BOATS, ANEW = 60, 40
HOURS_ALONE = Noise(air_spread=0.0, coat_spread=0.0)  # what planning anew can be told of
AIMS_S = {300: 3.0, 2000: 20.0}


def measure() -> list[Figure]:
    """Forecast 60 boats, then 2,000 boats of a hundred simulated shops."""
    problem = invented_shop(BOATS, 1)
    plan = list_plan(problem)
    finishes(problem, plan, HOURS_ALONE, 1, seed=0)  # compiled before it is timed
    begun = perf_counter()
    order = [one.step for one in sorted(plan.placed, key=lambda one: one.start)]
    draws = np.random.SeedSequence(0).spawn(ANEW)
    known = [known_before(problem, slow(problem, HOURS_ALONE, np.random.default_rng(draw))) for draw in draws]
    anew = [planned_finishes(one, decode(one, order)) for one in known]
    each_s = (perf_counter() - begun) / ANEW
    figures = []
    for samples, aim_s in AIMS_S.items():
        begun = perf_counter()
        ends = finishes(problem, plan, HOURS_ALONE, samples, seed=0)
        taken_s = perf_counter() - begun
        reference = np.mean([np.median([one[boat] for one in anew]) for boat in ends])
        bias_pct = 100 * (np.mean([np.median(row[:ANEW]) for row in ends.values()]) / reference - 1)
        name = f"{BOATS} boats, {samples} replays; medians {bias_pct:+.1f} %"
        peer = "every replay planned anew"
        figures.append(Figure(name=name, ours_s=taken_s, peer=peer, peer_s=samples * each_s, aim_s=aim_s))
    return [*figures, _simulated()]


def known_before(problem: Problem, factors: NDArray[np.float64]) -> Problem:
    """The problem as if its hours had been known before, cut into sittings anew."""
    steps = (
        step
        if step.begun or not step.sittings
        else replace(step, sittings=cut(SLOT_MIN * max(1, round(step.labour * factor))))
        for step, factor in zip(problem.steps, factors.tolist(), strict=True)
    )
    return replace(problem, steps=tuple(steps))


def _simulated() -> Figure:
    """The range from 10 to 90 % should hold 76 to 84 % of the finishes."""
    begun = perf_counter()
    held = hits(shops=100, boats=20, samples=100, seed=7)
    name = f"10 to 90 % hold {100 * held.share:.1f} % of {held.of} boats"
    return Figure(name=name, ours_s=perf_counter() - begun, peer="none: 76 to 84 % is right", peer_s=None)
