"""Forecasts: quantiles of replays, the same for the same seed, and ranges that hold as often as they say."""

from dataclasses import replace

import numpy as np
import pytest

from stages.bench.shops import invented_shop
from stages.bench.simulated import hits
from stages.planner.compare import finishes as planned_finishes
from stages.planner.errors import PlannerError
from stages.planner.forecast import finishes, forecast
from stages.planner.listplan import list_plan
from stages.planner.noise import QUIET, Noise, Wet
from stages.planner.schedule import Left
from stages.planner.timegrid import SLOTS_A_DAY

SHOP = invented_shop(10, 1)
PLAN = list_plan(SHOP)


def test_the_same_seed_gives_the_same_forecast_and_another_another() -> None:
    first, again, other = (forecast(SHOP, PLAN, Noise(), samples=20, seed=seed) for seed in (4, 4, 5))
    assert first == again
    assert first != other


def test_its_dates_are_quantiles_of_the_replays_and_the_chance_is_their_share() -> None:
    told = forecast(SHOP, PLAN, Noise(), samples=50, seed=4)
    for key, ends in finishes(SHOP, PLAN, Noise(), 50, 4).items():
        finish = told.finishes[key]
        shares = [float(np.mean(ends <= at)) for at in (finish.early, finish.likely, finish.suggested, finish.late)]
        assert shares == pytest.approx([0.1, 0.5, 0.8, 0.9], abs=0.1)
        assert all(share >= least - 1e-9 for share, least in zip(shares, (0.1, 0.5, 0.8, 0.9), strict=True))
        due = next(job.due for job in SHOP.jobs if job.key == key)
        assert due is None or finish.chance == float(np.mean(ends <= due))


def test_without_noise_every_date_is_the_plan_s() -> None:
    told = forecast(SHOP, PLAN, QUIET, samples=2)
    assert {key: finish.early for key, finish in told.finishes.items()} == planned_finishes(SHOP, PLAN)
    assert all(finish.early == finish.late for finish in told.finishes.values())


def test_a_boat_of_which_a_step_has_no_place_has_no_date() -> None:
    gone = PLAN.placed[-1]
    job = next(step.job for step in SHOP.steps if step.key == gone.step)
    left = Left(step=gone.step, text="Nobody can do it.", values={})
    told = forecast(SHOP, replace(PLAN, placed=PLAN.placed[:-1], left=(left,)), QUIET, samples=1)
    assert job not in told.finishes
    assert len(told.finishes) == len(SHOP.jobs) - 1


def test_a_wet_spring_is_later_than_a_dry_one() -> None:
    """All days beyond the first ten drawn: never wet, and mostly wet."""
    key = next(iter(SHOP.weather))
    days = tuple((day * SLOTS_A_DAY - 12, day * SLOTS_A_DAY + 36) for day in range(10, SHOP.horizon // SLOTS_A_DAY))
    medians = []
    for wet in (0.0, 0.85):
        noise = replace(QUIET, weather=(Wet(days={key: days}, after_dry=wet, after_wet=wet, wet_before=False),))
        ends = finishes(SHOP, PLAN, noise, samples=20, seed=1)
        medians.append(np.mean([np.median(row) for row in ends.values()]))
    assert medians[0] < medians[1]


def test_no_replay_at_all_is_refused() -> None:
    with pytest.raises(PlannerError):
        forecast(SHOP, PLAN, QUIET, samples=0)


def test_of_simulated_shops_the_range_from_10_to_90_percent_holds_four_finishes_in_five() -> None:
    """Thirty shops of ten boats each; boats of a shop go together, so 80 % is given six points."""
    held = hits(shops=30, boats=10, samples=60, seed=7)
    assert held.share == pytest.approx(0.8, abs=0.06)
