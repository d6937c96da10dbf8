"""Hours of work that a stage still asks for: by the route's formula, what the shop learnt, and what was done."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from stages.engine.route import StageSpec
from stages.engine.work import Work
from stages.engine.worktime import worked_h
from stages.planner.hours import HoursBelief
from stages.queries.planning.practice import LEAST_LEFT, SANDED_COAT

LEAST_H = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """What the shop has learnt of its hours, and the moment."""

    beliefs: Mapping[str, HoursBelief]
    now: datetime

    def expected(self, work: Work, spec: StageSpec) -> float:
        """Hours that a stage takes from its beginning, h."""
        belief = self.beliefs.get(spec.key)
        return spec.hours(work.scope) * (belief.factor if belief else 1.0)

    def left(self, work: Work, spec: StageSpec) -> float:
        """Hours that a stage without coats still takes, h: less what somebody told, or the shop's hours since its
        start, and a little always."""
        record = work.state.stage(spec.key)
        whole_h = self.expected(work, spec)
        if record.started_at is None or whole_h <= 0:
            return whole_h
        spent_h = record.hours or worked_h(record.started_at, self.now, work.world.zone_info)
        return max(whole_h - spent_h, LEAST_LEFT * whole_h, LEAST_H)

    def of_coats(self, work: Work, spec: StageSpec) -> Sequence[float]:
        """Hours of each coat that is still to go on, h: a stage's hours over its coats, more where one is sanded."""
        product = work.product_for(spec)
        later = SANDED_COAT if product and product.sand_between else 1.0
        weights = [1.0, *[later] * (spec.coats - 1)]
        hour = self.expected(work, spec) / sum(weights)
        return [hour * weight for weight in weights[work.state.stage(spec.key).coats_on :]]
