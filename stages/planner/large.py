"""Large neighbourhoods: again and again some steps are set free, the solver places them anew, the rest stays.

After Shaw (1998), Using constraint programming and local search methods to solve vehicle routing problems; the ways of
choosing are drawn by what they brought lately, after Ropke and Pisinger (2006), An adaptive large neighborhood search
heuristic.
"""

from dataclasses import dataclass, field
from random import Random

from stages.planner.ground import Ground
from stages.planner.model import Model
from stages.planner.neighbours import KINDS, View, choose
from stages.planner.schedule import Schedule
from stages.planner.solver import Asked, Ended

SMALLEST, FIRST, LARGEST = 12, 60, 400
GROWS, SHRINKS = 1.12, 0.85
FORGETS = 0.9


@dataclass(slots=True, kw_only=True)
class Way:
    """One way of choosing: how many steps it sets free, and what it brought lately for its time."""

    size: float = FIRST
    worth: float = 1.0


@dataclass(slots=True, kw_only=True)
class Large:
    """A search by large neighbourhoods.

    Parameters
    ----------
    ground : Ground
        The problem.
    seed : int
        Where chance begins.
    """

    ground: Ground
    seed: int
    random: Random = field(init=False)
    ways: dict[str, Way] = field(init=False)

    def __post_init__(self) -> None:
        self.random = Random(self.seed)
        self.ways = {kind: Way() for kind in KINDS}

    def round(self, schedule: Schedule, asked: Asked) -> Schedule:
        """Set some steps free and place them anew.

        Returns
        -------
        Schedule
            One that costs no more.
        """
        kind = self.random.choices(list(self.ways), [way.worth for way in self.ways.values()])[0]
        way = self.ways[kind]
        free = choose(View(self.ground, schedule), kind, self.random, round(way.size))
        if not free:
            return schedule
        model = Model(self.ground, schedule, free)
        answered = model.draft.solve(asked)
        self._learn(way, answered.how, len(free))
        if answered.cost is None:
            return schedule
        found = model.read(answered.value)
        gain = schedule.cost.total - found.cost.total
        way.worth = max(0.2, FORGETS * way.worth + (1 - FORGETS) * (10.0 if gain > 0 else 0.0))
        return found

    def _learn(self, way: Way, how: Ended, size: int) -> None:
        most = min(LARGEST, len(self.ground.movable))
        way.size = min(most, way.size * GROWS) if how is Ended.PROVED else max(SMALLEST, way.size * SHRINKS)
