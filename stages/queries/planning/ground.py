"""What the steps of every hull are made with, read once for all of them."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from stages.engine.route import StageSpec
from stages.planner.problem import Hold
from stages.planner.timegrid import LONGEST_SITTING, cut
from stages.queries.planning.approvals import Approvals
from stages.queries.planning.drying import Drying
from stages.queries.planning.grid import Grid
from stages.queries.planning.hours import Hours
from stages.queries.planning.people import Skills
from stages.queries.planning.stores import Coats

OUTDOORS, AIRING = "outdoors", "airing"  # keys of the weather: dry days, and their evenings


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The shop as the steps of a hull need it.

    Parameters
    ----------
    grid, drying, hours, skills, approvals
        See there.
    stores : mapping of Coats to Hold
        Coats that wait for what they are of.
    longest : mapping of str to int
        By skill, the longest time that somebody sits in one piece, slots.
    racks : bool
        Whether there is a rack to cure on.
    """

    grid: Grid
    drying: Drying
    hours: Hours
    skills: Skills
    approvals: Approvals
    stores: Mapping[Coats, Hold] = field(default_factory=dict)
    longest: Mapping[str, int] = field(default_factory=dict)
    racks: bool = False

    def sittings(self, spec: StageSpec, hours: float) -> tuple[int, ...]:
        """Hours of a stage cut into sittings that fit into the day of somebody who can do it."""
        longest = self.longest.get(self.skills.name(spec.skill), LONGEST_SITTING)
        return cut(hours * 60.0, min(LONGEST_SITTING, longest))
