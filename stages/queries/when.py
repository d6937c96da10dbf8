"""When one boat more could be done: the shop's problem with it, planned behind the others or by its own promise."""

from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hulls.lines import HullType, Principal
from hulls.models import Hull
from hulls.sizes import sizes_of
from stages.advice.answers import Answers
from stages.engine.state import HullState
from stages.engine.work import Work
from stages.models import HullWork, Route
from stages.planner.compare import Moved
from stages.planner.forecast import Finish, forecast
from stages.planner.insertion import Fit, behind, promised
from stages.planner.listplan import list_plan
from stages.planner.problem import Problem
from stages.planner.schedule import Left
from stages.planner.screen import without
from stages.planner.timegrid import SLOTS_A_DAY
from stages.queries.planning.grid import Grid, day_of
from stages.queries.planning.noise import noise_of
from stages.queries.planning.practice import WEIGHT
from stages.queries.planning.undated import first_hand
from stages.queries.problem import the_problem
from stages.queries.routes import engine_route
from stages.queries.work import InWork
from stages.queries.world import Around
from stages.saying import day

NEW = "?"  # stands for the tag of a boat that is not there yet; no tag has it
NORMAL = 2
SAMPLES = 200  # replays: a day's chance of 80 % has a standard error of 3 %


@dataclass(frozen=True, slots=True, kw_only=True)
class Later:
    """A boat that would be done on another day, in words."""

    tag: str
    was: str
    now: str
    says: str
    breaks: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """One answer: from when to when, by when with a chance of 80 %, whom it makes wait, and what has no place.

    ``suggested`` is never before ``done``: replays fill gaps that the plan leaves, and others may then wait for it;
    ``overtakes`` where nine of ten of them do.
    """

    start: str
    done: str
    suggested: str
    span: str
    overtakes: bool
    done_on: date | None
    kept: bool | None
    later: tuple[Later, ...]
    left: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    """Both answers; ``wished`` is None where no day was named."""

    behind: Chance
    wished: Chance | None


def a_new_boat(hull: Principal, kind: HullType, answers: Answers, shop: Around, today: date) -> InWork:
    """A boat that somebody asks about, as if it came in today; nothing of it is in the database."""
    row = Hull(
        tag=NEW,
        length_m=hull.length_m,
        beam_m=hull.beam_m,
        depth_m=hull.depth_m,
        end_depth_m=hull.end_depth_m,
        hull_type=kind.key,
        arrived_on=today,
    )
    scope = answers.scope()
    route = Route.objects.get(current=True)
    work = Work(
        tag=NEW,
        route=engine_route(route),
        state=HullState(counts=answers.counts, old_finish=scope.conditions),
        world=shop.world,
        choices=scope.choices,
        sizes=sizes_of(row),
    )
    return InWork(HullWork(hull=row, route=route), work)


def when_for_new(shop: Around, boat: InWork, wish: date | None, now: datetime) -> When:
    """When a boat that is not there yet could be done.

    Parameters
    ----------
    shop : Around
        The shop.
    boat : InWork
        See `a_new_boat`.
    wish : date or None
        The day that its owner wishes.
    now : datetime
        The moment, aware.
    """
    return _when(the_problem(shop, now, more=(boat,)), NEW, wish, shop, now)


def when_for(shop: Around, tag: str, wish: date | None, now: datetime) -> When:
    """When a boat that is here, and was not promised yet, could be done."""
    return _when(the_problem(shop, now), tag, wish, shop, now)


def _when(problem: Problem, job: str, wish: date | None, shop: Around, now: datetime) -> When:
    words = _Words(problem, job, shop, now)
    others = without(problem, [step.key for step in problem.steps if step.job == job])
    last = behind(problem, job, list_plan(others))
    if wish is None:
        return When(behind=words.of(last, None), wished=None)
    due = Grid.at(now, shop.world.zone_info).end_of(wish)
    return When(
        behind=words.of(last, None), wished=words.of(promised(problem, job, due, WEIGHT[NORMAL], list_plan), due)
    )


def to_promise(told: Finish, done: int | None) -> int:
    """The slot that four of five replays keep, no sooner than the plan itself has the boat done."""
    return max(told.suggested, done or 0)


@dataclass(frozen=True, slots=True)
class _Words:
    """Says in words how a boat fits."""

    problem: Problem
    job: str
    shop: Around
    now: datetime

    def of(self, fit: Fit, due: int | None) -> Chance:
        """One answer."""
        on = None if fit.done is None else self._day(fit.done)
        told = self._forecast(fit) if on else None
        return Chance(
            start="" if fit.start is None else self._said(fit.start),
            done="" if on is None else day(on, self._today),
            suggested=self._said(to_promise(told, fit.done)) if told else "",
            span=f"{self._said(told.early)} – {self._said(told.late)}" if told else "",
            overtakes=told is not None and fit.done is not None and told.late < fit.done,
            done_on=on,
            kept=None if due is None or fit.done is None else fit.done <= due,
            later=tuple(self._later(one) for one in fit.moved if one.later >= SLOTS_A_DAY or one.now is None),
            left=tuple(self._left(one) for one in first_hand(self.problem, fit.left) or fit.left),
        )

    def _left(self, one: Left) -> str:
        """A step at fault and why, as what waits for it need not be named."""
        title = next(step.title for step in self.problem.steps if step.key == one.step)
        return f"{title}: {_(one.text) % one.values}"

    def _later(self, one: Moved) -> Later:
        promise = next(job.due for job in self.problem.jobs if job.key == one.job)
        days = round(one.later / SLOTS_A_DAY)
        later = ngettext("%(days)s day later", "%(days)s days later", days) % {"days": days}
        was = one.was or 0
        return Later(
            tag=one.job,
            was=self._said(was),
            now=_("without a place") if one.now is None else self._said(one.now),
            says=_("not all of it has a place") if one.now is None else later,
            breaks=promise is not None and was <= promise and (one.now is None or promise < one.now),
        )

    def _forecast(self, fit: Fit) -> Finish | None:
        """The range of the boat's finish, with hours, air and weather drawn."""
        found = forecast(self.problem, fit.plan, noise_of(self.shop, self.problem), SAMPLES)
        return found.finishes.get(self.job)

    @property
    def _today(self) -> date:
        return self.now.astimezone(self.shop.world.zone_info).date()

    def _day(self, slot: int) -> date:
        assert self.problem.start is not None
        return day_of(self.problem.start, slot, self.shop.world.zone_info)

    def _said(self, slot: int) -> str:
        return day(max(self._day(slot), self._today), self._today)
