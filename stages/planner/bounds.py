"""Between which slots a step that moves can lie, given what stays and that the plan is to cost no more than now.

The solver would find the same by itself, most of a second later each time.
"""

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter

from stages.planner.ground import Ground
from stages.planner.problem import Link, Since, Step
from stages.planner.reach import Reach
from stages.planner.schedule import Schedule
from stages.planner.verify import moment


@dataclass(slots=True, kw_only=True)
class Bounds:
    """Of one step: its earliest start, and the first and last start of each own sitting (or of itself without any)."""

    begin: int
    first: list[int]
    last: list[int] = field(default_factory=list)


class Bounding:
    """Finds the bounds of all steps that move, forward from what comes before and back from what comes behind."""

    def __init__(
        self, ground: Ground, schedule: Schedule, free: Collection[str], reach: Reach, *, capped: bool = True
    ) -> None:
        self.ground, self.schedule, self.free, self.reach = ground, schedule, free, reach
        self.found: dict[str, Bounds] = {}
        order = _order(ground, free)
        for key in order:
            self._forward(ground.steps[key])
        latest = self._latest() if capped else {}
        for key in reversed(order):
            self._back(ground.steps[key], latest.get(ground.steps[key].job, reach.upto))
            self._hold_now(key)

    def _forward(self, step: Step) -> None:
        now = self.schedule.by_step[step.key]
        own = [sitting.start for sitting in now.sittings if sitting.number > 0]
        if step.under_way:
            begin, at = 0, 0
        else:
            at = begin = max([step.earliest, 0, *(self._after(link) for link in self.ground.into[step.key])])
            at = self.reach.settle(step, at)
        first = [at] if not step.sittings else []
        for number, length in enumerate(step.sittings):
            if number < len(step.begun):
                first.append(own[number])
            else:
                first.append(self.reach.sitting(step, length, at))
            at = max(0, first[-1] + length)
        self.found[step.key] = Bounds(begin=begin, first=first)

    def _after(self, link: Link) -> int:
        """From when on a link lets its step start; zero where nothing is known."""
        if link.least is None:
            return 0
        if link.before in self.found:
            before = self.ground.steps[link.before]
            return _moment(before, self.found[link.before].first, link.since) + link.least
        if link.before in self.free or link.before not in self.schedule.by_step:
            return 0
        return moment(self.schedule.by_step[link.before], link.since) + link.least

    def _latest(self) -> dict[str, int]:
        """By boat, when it is done at the latest in a plan that costs no more than now."""
        problem, steps = self.ground.problem, self.ground.steps
        now: dict[str, int] = defaultdict(int)
        least: dict[str, int] = defaultdict(int)
        for placed in self.schedule.placed:
            step = steps[placed.step]
            ready = _moment(step, self.found[step.key].first, Since.READY) if step.key in self.found else placed.ready
            now[step.job], least[step.job] = max(now[step.job], placed.ready), max(least[step.job], ready)
        boats = {steps[key].job for key in self.free}
        jobs = [job for job in problem.jobs if job.key in boats]
        weights, cost = problem.weights, self.schedule.cost
        last, floor = max(now.values(), default=0), max(least.values(), default=0)
        spare = cost.missed + cost.shuffle + weights.makespan * (last - floor)
        for job in jobs:
            spare += job.flow * (now[job.key] - least[job.key])
            if job.due is not None:
                spare += job.weight * (max(0, now[job.key] - job.due) - max(0, least[job.key] - job.due))
        found: dict[str, int] = {}
        for job in jobs:
            ends = [self.reach.upto]
            if weights.makespan:
                ends.append(floor + spare // weights.makespan)
            if job.flow:
                ends.append(least[job.key] + spare // job.flow)
            if job.due is not None and job.weight:
                ends.append(max(job.due, least[job.key]) + spare // job.weight)
            found[job.key] = min(ends)
        return found

    def _back(self, step: Step, latest: int) -> None:
        end, coat = latest - step.dry, latest
        for link in self.ground.out[step.key]:
            if link.least is None or link.after not in self.schedule.by_step or self.ground.steps[link.after].under_way:
                continue
            if link.after in self.free:
                if link.after not in self.found or not self.found[link.after].last:
                    continue
                start = self.found[link.after].last[0]
            else:
                start = self.schedule.by_step[link.after].start
            match link.since:
                case Since.START:
                    coat = min(coat, start - link.least)
                case Since.HANDS:
                    end = min(end, start - link.least)
                case Since.READY:
                    end = min(end, start - link.least - step.dry)
        last: list[int] = [] if step.sittings else [min(end, coat)]
        for number, length in reversed(list(enumerate(step.sittings))):
            end = min(end, coat + length) if number == 0 else end
            last.insert(0, self.reach.sitting(step, length, end - length, back=True))
            end = last[0]
        self.found[step.key].last = last

    def _hold_now(self, key: str) -> None:
        """Its place now always lies within its bounds."""
        placed, bounds = self.schedule.by_step[key], self.found[key]
        own = [sitting.start for sitting in placed.sittings if sitting.number > 0] or [placed.coat_start]
        bounds.begin = min(bounds.begin, max(0, placed.start))
        bounds.first = [min(pair) for pair in zip(bounds.first, own, strict=True)]
        within = self.ground.problem.horizon - 1
        bounds.last = [max(min(last, within), now) for last, now in zip(bounds.last, own, strict=True)]


def _moment(step: Step, starts: list[int], since: Since) -> int:
    if since is Since.START:
        return starts[0]
    end = starts[-1] + (step.sittings[-1] if step.sittings else 0)
    return end if since is Since.HANDS else end + step.dry


def _order(ground: Ground, free: Collection[str]) -> list[str]:
    """The steps, each behind those that it waits for; as they come where they wait for each other in a ring."""
    before: Mapping[str, list[str]] = {
        key: [link.before for link in ground.into[key] if link.least is not None and link.before in free]
        for key in sorted(free)
    }
    try:
        return list(TopologicalSorter(before).static_order())
    except CycleError:
        return sorted(free)
