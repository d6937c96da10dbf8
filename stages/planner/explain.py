"""Why a plan is as it is: what each step waits for, and the chain of waits that makes a boat late."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from hulls.wording import gettext_noop
from stages.planner.occupied import Occupied
from stages.planner.problem import Link, Problem, Step
from stages.planner.schedule import Placed, Schedule, Sitting
from stages.planner.verify import moment


class Cause(StrEnum):
    """What a step waits for."""

    BEFORE = "before"  # a step that is worked on or dries
    HOLD = "hold"  # an approval, stores, the boat itself
    PLACE = "place"
    HANDS = "hands"
    WEATHER = "weather"
    HOURS = "hours"  # nobody who can do it is at work
    LATER = "later"  # nothing: it is held back for what comes after it


_DRIES = gettext_noop("“%(before)s” is dry at %(until)s.")
_WORKED_ON = gettext_noop("“%(before)s” is worked on until %(until)s.")
_LAG = gettext_noop("It may follow “%(before)s” from %(until)s on.")
_TAKEN = gettext_noop("%(place)s is taken by %(boat)s, “%(before)s”, until %(until)s.")
_FULL = gettext_noop("%(place)s is full until %(until)s.")
_BUSY = gettext_noop("%(person)s is at “%(before)s” of %(boat)s until %(until)s.")
_WEATHER = gettext_noop("It waits for the weather until %(until)s.")
_HOURS = gettext_noop("Nobody who can do it is at work before %(until)s.")
_LATER = gettext_noop("Nothing keeps it from starting sooner; it is held back for what comes after it.")
_HOLDS: Mapping[str, str] = {
    "approval": gettext_noop("It waits for an approval until %(until)s."),
    "stores": gettext_noop("It waits for stores that arrive at %(until)s."),
    "arrival": gettext_noop("The boat arrives at %(until)s."),
    "drying": gettext_noop("What was put on before is soft until %(until)s."),
    "window": gettext_noop("It may not be coated again before %(until)s."),
}
_HELD = gettext_noop("It is held until %(until)s.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """Why one step starts no sooner.

    Parameters
    ----------
    step : str
        Its key.
    cause : Cause
        What it waits for.
    since, until : int
        Slots: when what comes before it on the boat would have let it start, and until when what keeps it does.
    blocker : str or None
        The step that keeps it: in its place, under the hands that it needs, or else before it on the boat.
    text : str
        A sentence with named gaps; the gap ``until`` is left to whoever shows it.
    values : mapping
        What fills the others.
    """

    step: str
    cause: Cause
    since: int
    until: int
    blocker: str | None = None
    text: str
    values: Mapping[str, str] = field(default_factory=dict)

    def __str__(self) -> str:
        return self.text % {"until": f"slot {self.until}", **self.values}


def waits(problem: Problem, schedule: Schedule) -> tuple[Wait, ...]:
    """Why each step that is not under way starts no sooner; nothing of those that start now.

    Parameters
    ----------
    problem, schedule
        What was asked, and a plan that keeps it.
    """
    reader = _Reader(problem, schedule)
    found = (reader.wait(placed) for placed in schedule.placed)
    return tuple(wait for wait in found if wait is not None)


def chain(problem: Problem, schedule: Schedule, job: str) -> tuple[Wait, ...]:
    """The waits that make a boat ready when it is, from now to its last step, each kept by the one before.

    Parameters
    ----------
    problem, schedule
        What was asked, and a plan that keeps it.
    job : str
        The boat's key.
    """
    reader = _Reader(problem, schedule)
    mine = [placed for placed in schedule.placed if reader.steps[placed.step].job == job]
    at = max(mine, key=lambda placed: placed.ready, default=None)
    found: list[Wait] = []
    seen: set[str] = set()
    while at is not None and at.step not in seen and (wait := reader.wait(at)) is not None:
        found.append(wait)
        seen.add(at.step)
        at = schedule.by_step.get(wait.blocker) if wait.blocker else None
    return tuple(reversed(found))


class _Reader:
    """Reads the waits off one plan."""

    def __init__(self, problem: Problem, schedule: Schedule) -> None:
        self._problem, self._schedule = problem, schedule
        self.steps = {step.key: step for step in problem.steps}
        self._boats = {job.key: job.title or job.key for job in problem.jobs}
        self._people = {person.key: person for person in problem.people}
        self._places = {resource.key: resource for resource in problem.resources}
        self._into: dict[str, list[Link]] = {}
        for link in problem.links:
            if link.least is not None:
                self._into.setdefault(link.after, []).append(link)
        self._occupied = Occupied(problem, schedule)

    def wait(self, placed: Placed) -> Wait | None:
        """What one step waits for; None where it is under way, or starts at once."""
        step = self.steps[placed.step]
        if step.under_way or placed.start <= 0:
            return None
        released = max(self._released(step), key=lambda wait: wait.until, default=None)
        since = max(0, released.until) if released else 0
        if released and released.until >= placed.start:
            return released
        keeps = [*self._full(step, placed, since), *self._busy(step, placed, since)]
        if keeps:
            return max(keeps, key=lambda wait: wait.until)
        return self._quiet(step, placed, since, released.blocker if released else None)

    def _released(self, step: Step) -> Iterator[Wait]:
        """What comes before it, and what it is held for, with when they let it start."""
        for hold in step.holds:
            text = _HOLDS.get(hold.why, _HELD)
            yield Wait(step=step.key, cause=Cause.HOLD, since=0, until=hold.until, text=text)
        for link in self._into.get(step.key, ()):
            before = self._schedule.by_step.get(link.before)
            if before is None or link.least is None:
                continue
            until = moment(before, link.since) + link.least
            if until == before.ready and before.ready > before.hands_end:
                text = _DRIES
            else:
                text = _WORKED_ON if until == before.hands_end else _LAG
            values = {"before": self._called(link.before, step.job)}
            yield Wait(
                step=step.key,
                cause=Cause.BEFORE,
                since=before.start,
                until=until,
                blocker=link.before,
                text=text,
                values=values,
            )

    def _full(self, step: Step, placed: Placed, since: int) -> Iterator[Wait]:
        """Places without room for it, some time between when it was released and when it starts."""
        for use in step.uses:
            needed_from = self._occupied.needed_from(placed, use)
            until = self._occupied.full_until(use, since, needed_from)
            if until is None:
                continue
            holder = self._occupied.leaves(use.resource, until, other_than=step.key)
            values = {"place": self._places[use.resource].title or use.resource}
            if holder:
                values |= {"before": self._called(holder), "boat": self._boat(holder)}
            yield Wait(
                step=step.key,
                cause=Cause.PLACE,
                since=since,
                until=until,
                blocker=holder,
                text=_TAKEN if holder else _FULL,
                values=values,
            )

    def _busy(self, step: Step, placed: Placed, since: int) -> Iterator[Wait]:
        """What whoever sits at it sat at before, or what others who can do it sat at meanwhile."""
        if not placed.sittings or placed.sittings[0].person is None:
            return
        sits = placed.sittings[0].person
        able = [sits, *(one.key for one in self._problem.people if step.skill in one.skills and one.key != sits)]
        for person in able:
            before = self._occupied.sat_before(person, placed.start)
            if before is not None and before.end > since and before.step != step.key:
                yield self._at_work(step, person, before, since)
                return

    def _at_work(self, step: Step, person: str, before: Sitting, since: int) -> Wait:
        values = {
            "person": self._people[person].name or person,
            "before": self._called(before.step),
            "boat": self._boat(before.step),
        }
        return Wait(
            step=step.key,
            cause=Cause.HANDS,
            since=since,
            until=before.end,
            blocker=before.step,
            text=_BUSY,
            values=values,
        )

    def _quiet(self, step: Step, placed: Placed, since: int, blocker: str | None) -> Wait:
        """Neither place nor hands are taken: it is the weather, the hours, or for the sake of what follows."""
        first = placed.sittings[0] if placed.sittings else None
        cause, text = Cause.LATER, _LATER
        if first is not None:
            length, latest = first.end - first.start, placed.start - 1
            able = [one for one in self._problem.people if step.skill is not None and step.skill in one.skills]
            dry = self._problem.weather[step.weather] if step.weather is not None else None
            if able and not any(self._occupied.fits(one.works, None, since, latest, length) for one in able):
                cause, text = Cause.HOURS, _HOURS
            elif dry is not None and not any(
                self._occupied.fits(one.works, dry, since, latest, length) for one in able
            ):
                cause, text = Cause.WEATHER, _WEATHER
        return Wait(step=step.key, cause=cause, since=since, until=placed.start, blocker=blocker, text=text)

    def _called(self, key: str, job: str | None = None) -> str:
        step = self.steps[key]
        name = step.title or step.key
        return name if job is None or job == step.job else f"{name} ({self._boat(key)})"

    def _boat(self, key: str) -> str:
        return self._boats[self.steps[key].job]
