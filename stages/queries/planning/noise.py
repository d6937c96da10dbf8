"""What is uncertain of the shop's plan, as its own record has it."""

from stages.planner.noise import Noise, Wet
from stages.planner.problem import Problem
from stages.planner.timegrid import SLOTS_A_DAY
from stages.queries import learnt_hours
from stages.queries.planning.grid import Grid
from stages.queries.planning.ground import AIRING, OUTDOORS
from stages.queries.planning.weather import unknown_days, yard_weather
from stages.queries.world import Around


def noise_of(shop: Around, problem: Problem) -> Noise:
    """How far hours, dry times and weather may come otherwise than planned, in two queries.

    Hours are as learnt, and days that nobody knows the weather of are wet by the yard's own record.
    """
    assert problem.start is not None
    grid = Grid(start=problem.start, zone_info=shop.world.zone_info)
    record = yard_weather(shop.world, grid)
    coats, evenings = unknown_days(record, grid, problem.horizon // SLOTS_A_DAY)
    today = record.days.get(grid.today)
    wet = Wet(
        days={OUTDOORS: coats, AIRING: evenings},
        after_dry=record.wet_after(wet=False),
        after_wet=record.wet_after(wet=True),
        wet_before=None if today is None else not today,
    )
    return Noise(hours=learnt_hours.beliefs(), weather=(wet,))
