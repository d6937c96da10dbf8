"""What the demo's crew sees of a boat: read once, and from there on one step further with each line that it writes."""

from dataclasses import dataclass, field, replace

from hulls.models import Hull
from stages.engine.replay import step
from stages.engine.work import Work
from stages.models import HullWork
from stages.queries.work import engine_entry, in_work
from stages.queries.world import around
from stages.services.orders import Outcome


@dataclass(slots=True)
class Eyes:
    """The boats' work as it was last seen, by hull."""

    _seen: dict[int, Work] = field(default_factory=dict)

    def look(self, hull: Hull) -> Work:
        """A boat as it stands in the shop of this moment."""
        world = around().world
        if hull.pk not in self._seen:
            row = HullWork.objects.select_related("hull__owner", "route").get(hull=hull)
            self._seen[hull.pk] = in_work([row], world)[0].work
        return replace(self._seen[hull.pk], world=world, owes=world.owing.get(hull.pk))

    def follow(self, hull: Hull, outcome: Outcome) -> None:
        """See what a line brought about, by the fold that replays a log."""
        if outcome.entry is not None:
            seen = self._seen[hull.pk]
            self._seen[hull.pk] = seen.with_state(step(seen.state, engine_entry(outcome.entry), seen.route))

    def blink(self, hull: Hull) -> None:
        """Look afresh the next time."""
        self._seen.pop(hull.pk, None)
