"""The improver: the list plan, a local search over the order, then large neighbourhoods until the time is over.

With more than one worker the search runs in lanes side by side, which share the best plan so far; problems that are
small enough are handed to the solver whole in one of them. `stages.planner.apart` runs it in a process of its own.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from threading import Lock, Thread

from stages.planner.arrays import Arrays
from stages.planner.cost import cost_of
from stages.planner.decode import schedule_of
from stages.planner.disjunctive import JobShopSearch, is_job_shop
from stages.planner.effort import Effort, How, Improved
from stages.planner.ground import Ground
from stages.planner.large import Large
from stages.planner.listplan import best_rule, list_plan
from stages.planner.model import Model
from stages.planner.problem import Problem, Step
from stages.planner.schedule import Placed, Schedule, Sitting
from stages.planner.screen import screen
from stages.planner.search import Search as Orders
from stages.planner.solver import Asked, Ended
from stages.planner.verify import verify

TINY, SMALL = 60, 800  # sittings: solved whole first; worth a lane that solves it whole
LOCAL_S, LOCAL_ROUNDS = 1.5, 1500  # over orders, before anything else
TURN_S, TURN_ROUNDS = 0.5, 300  # over orders, between neighbourhoods
TURN = 3  # neighbourhoods between two turns over orders
ROUND_S, ROUND_WORK = 0.8, 0.02
TINY_WORK = 3.0
LEAST_S = 0.05  # with less left there is nothing to be found
LOOK = 50  # rounds over orders between two looks


class Search:
    """One search.

    Parameters
    ----------
    problem : Problem
        What is planned.
    effort : Effort
        How much is tried.
    tell : callable
        Is given each better plan.
    start : Schedule or None
        A plan to begin with; the list plan where there is none.
    """

    def __init__(
        self,
        problem: Problem,
        effort: Effort,
        *,
        tell: Callable[[Schedule], None] = lambda schedule: None,
        start: Schedule | None = None,
    ) -> None:
        self.problem, self.effort, self.tell = problem, effort, tell
        self.ground = Ground(problem)
        self.best = start or list_plan(problem)
        self.proved, self.rounds, self._lock = False, 0, Lock()
        self.left: Callable[[], float] = lambda: float("inf")
        self._prepare()
        self.tell(self.best)

    def _prepare(self) -> None:
        """Stand ready: what is compiled when it is first called is compiled before the time runs."""
        self.machines: JobShopSearch | None = None
        if is_job_shop(self.problem) and not self.best.left:
            self.machines = JobShopSearch(self.problem, self.best, self.effort.seed)
        self.arrays = Arrays.of(self.problem)
        self.orders = Orders(self.arrays, best_rule(self.arrays).order, self.effort.seed)
        if self.machines is not None:
            self.machines.go(0)
        elif self.best.placed:
            self.orders.warm()

    def run(self, clock: Callable[[], float] | None = None) -> Improved:
        """Improve until it is proved, the time is over or the rounds are done.

        Parameters
        ----------
        clock : callable or None
            Seconds since whenever; needed where the effort has ``seconds``.
        """
        if clock is not None and self.effort.seconds is not None:
            until, now = clock() + self.effort.seconds, clock
            self.left = lambda: until - now()
        sittings = sum(len(self.ground.steps[key].sittings) for key in self.ground.movable)
        if self.best.left and sittings <= SMALL:
            self._place_left()
        if not self.ground.movable & self.best.by_step.keys():
            self.proved = not self.best.left
        elif self.machines is not None:
            self._side_by_side([self._machines, self._whole_to_the_end])
        else:
            if sittings <= TINY:
                self._whole(Asked(seconds=self._seconds(), deterministic=TINY_WORK, seed=self.effort.seed))
            self._over_orders(LOCAL_S, LOCAL_ROUNDS)
            second = self._whole_again if sittings <= SMALL else self._over_orders_on
            self._side_by_side([self._large, second])
        return Improved(schedule=self.best, how=self._how(), rounds=self.rounds)

    def _place_left(self) -> None:
        """Have the solver look for a plan in which those steps find a place that the list left out for want of one."""
        left = {one.step for one in self.best.left} - {one.step for one in screen(self.problem).left}
        steps = [self.ground.steps[key] for key in sorted(left)]
        if not steps or any(step.under_way for step in steps):
            return
        placed = (*self.best.placed, *map(as_soon_as_may_be, steps))
        others = tuple(one for one in self.best.left if one.step not in left)
        guess = Schedule(placed=placed, left=others, cost=cost_of(self.problem, placed))
        model = Model(self.ground, guess, self.ground.movable, holds=False)
        seconds = self._seconds(self.left() / 2)
        answered = model.draft.solve(Asked(seconds=seconds, deterministic=TINY_WORK, seed=self.effort.seed))
        if answered.cost is not None and not verify(self.problem, found := model.read(answered.value)):
            self.best = found
            self.tell(found)

    def _side_by_side(self, lanes: Sequence[Callable[[], None]]) -> None:
        """Run lanes, as many as there are workers; the first of them here."""
        threads = [Thread(target=lane) for lane in lanes[1 : self.effort.workers]]
        for thread in threads:
            thread.start()
        lanes[0]()
        for thread in threads:
            thread.join()

    def _how(self) -> How:
        if self.proved:
            return How.PROVED
        return How.OUT_OF_TIME if self.left() <= LEAST_S else How.ALL_ROUNDS

    def _seconds(self, most: float = float("inf")) -> float | None:
        seconds = min(most, self.left())
        return None if seconds == float("inf") else seconds

    def _go_on(self) -> bool:
        if self.proved or self.left() <= LEAST_S:
            return False
        return self.effort.rounds is None or self.rounds < self.effort.rounds

    def _over_orders(self, seconds: float, rounds: int) -> None:
        """Search over the order for some seconds, or where only rounds count for so many."""
        orders = self.orders
        until = self.left() - seconds
        timed, told = self.effort.seconds is not None, orders.best
        tried = 0
        while self._go_on() and (self.left() > until if timed else tried < rounds):
            for _ in range(LOOK):
                orders.round()
            tried += LOOK
        if orders.best < max(told, self.best.cost.total + 1):
            self._offer(schedule_of(self.problem, self.arrays, orders.best_order))

    def _over_orders_on(self) -> None:
        while self._go_on():
            self._over_orders(TURN_S, TURN_ROUNDS)

    def _machines(self) -> None:
        """Search a job shop by its own neighbourhoods."""
        search = self.machines
        while search is not None and self._go_on():
            if search.go():
                self._offer(search.schedule())
            self.rounds += 1
            self.proved = self.proved or self.best.cost.makespan <= self.problem.weights.makespan * search.bound

    def _whole(self, asked: Asked) -> None:
        """Hand the whole problem to the solver."""
        model = Model(self.ground, self.best, self.ground.movable)
        answered = model.draft.solve(asked, lambda value: self._offer(model.read(value)))
        if answered.how is Ended.PROVED:
            self._offer(model.read(answered.value))
            self.proved = not self.best.left

    def _whole_to_the_end(self) -> None:
        self._whole(Asked(seconds=self._seconds(), seed=self.effort.seed))

    def _whole_again(self) -> None:
        """Again and again, each time from the best so far."""
        number = 0
        while self._go_on():
            number += 1
            self._whole(Asked(seconds=self._seconds(max(2.0, self.left() / 3)), seed=self.effort.seed + number))

    def _large(self) -> None:
        """Large neighbourhoods, with turns over the orders between them where no other lane does that."""
        large = Large(ground=self.ground, seed=self.effort.seed)
        timed = self.effort.seconds is not None
        while self._go_on():
            asked = Asked(
                seconds=self._seconds(ROUND_S) if timed else None,
                deterministic=None if timed else ROUND_WORK,
                seed=self.effort.seed + self.rounds,
            )
            base = self.best
            self._offer(large.round(base, asked), base)
            self.rounds += 1
            if self.effort.workers < 2 and self.rounds % TURN == 0:
                self._over_orders(TURN_S, TURN_ROUNDS)

    def _offer(self, found: Schedule, base: Schedule | None = None) -> None:
        """Keep a plan that costs no more than the best so far, or the steps that it moved where those fit in there."""
        with self._lock:
            best = self.best
            if base is not None and base is not best and found.cost.total < base.cost.total:
                found = min(found, merged(self.problem, best, base, found), key=lambda plan: plan.cost.total)
            if found.cost.total > best.cost.total or found is best or len(found.left) > len(best.left):
                return
            if verify(self.problem, found):
                return
            self.best = found
            if found.cost.total < best.cost.total:
                self.tell(found)


def as_soon_as_may_be(step: Step) -> Placed:
    """A step from when it may start, one sitting behind the other, whatever stands in its way."""
    start, sittings = max(0, step.earliest), []
    at = start
    for number, length in enumerate(step.sittings, 1):
        sittings.append(Sitting(step=step.key, number=number, start=at, end=at + length))
        at += length
    return Placed(step=step.key, sittings=tuple(sittings), start=start, hands_end=at, ready=at + step.dry)


def merged(problem: Problem, best: Schedule, base: Schedule, found: Schedule) -> Schedule:
    """The best plan with those steps as found that were moved from the base; ``found`` where that does not hold."""
    was = base.by_step
    moved = {placed.step: placed for placed in found.placed if was.get(placed.step) != placed}
    placed = tuple(moved.get(one.step, one) for one in best.placed)
    plan = replace(best, placed=placed, cost=cost_of(problem, placed))
    return found if verify(problem, plan) else plan
