"""How long work waits for an owner's answer."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from hulls.models import Estimate
from stages.engine.route import StageSpec
from stages.engine.rules.approved import estimates, stopped_by
from stages.engine.vocab import Answer
from stages.engine.work import Work
from stages.planner.problem import Hold
from stages.planner.timegrid import SLOTS_A_DAY
from stages.queries.planning.grid import Grid
from stages.queries.planning.practice import NO_ANSWER_SOONER

Sent = Mapping[tuple[int, str], datetime]


def sent_papers() -> dict[tuple[int, str], datetime]:
    """When each paper that waits for its owner was sent, by hull and by what it is called, in one query."""
    rows = Estimate.objects.waiting().order_by("sent_at").values_list("hull_id", "label", "sent_at")
    return {(hull, label): sent_at for hull, label, sent_at in rows if sent_at}


@dataclass(frozen=True, slots=True, kw_only=True)
class Approvals:
    """The papers that wait, and how many days owners take, as a rule."""

    sent: Sent
    answer_days: int
    grid: Grid
    now: datetime

    @property
    def answer_slots(self) -> int:
        """How long an owner takes, slots."""
        return self.answer_days * SLOTS_A_DAY

    def must_ask(self, work: Work) -> bool:
        """Whether an estimate must be made and sent before work may go on."""
        sent = estimates(work)
        if not sent:
            return work.world.estimates_first
        return list(sent.values())[-1].answer is Answer.DECLINED

    def waits(self, hull: int, work: Work) -> Hold | None:
        """Until when an estimate that was sent waits for its owner's yes."""
        found = [label for label, held in estimates(work).items() if held.is_open]
        return self._hold(hull, found[-1]) if found else None

    def stops(self, hull: int, work: Work, spec: StageSpec) -> Hold | None:
        """Until when an open change order stops a stage."""
        label = stopped_by(work, spec.key)
        return self._hold(hull, label) if label else None

    def _hold(self, hull: int, label: str) -> Hold:
        sent_at = self.sent.get((hull, label), self.now)
        answered_at = max(sent_at + timedelta(days=self.answer_days), self.now + NO_ANSWER_SOONER)
        return Hold(until=max(0, self.grid.after(answered_at)), why="approval", words=label)
