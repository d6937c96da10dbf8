"""What of a problem cannot be placed at all, and why: taken out first, so that a plan of the rest always comes."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from hulls.wording import gettext_noop
from stages.planner.problem import Link, Problem, Since, Step
from stages.planner.schedule import Left
from stages.planner.timegrid import SLOTS_AN_HOUR, Spans

NO_SKILL = gettext_noop("Nobody here can do “%(skill)s”.")
NO_HOURS = gettext_noop("Nobody who can do “%(skill)s” has hours in the calendar.")
TOO_LONG = gettext_noop("A sitting of %(hours)s hours fits into nobody's day.")
NO_ROOM = gettext_noop("“%(resource)s” has %(capacity)s places; this needs %(amount)s.")
NO_WEATHER = gettext_noop("No dry weather long enough for it is in sight.")
TOO_LATE = gettext_noop("Waits beyond the end of the plan.")
IN_A_RING = gettext_noop("Waits for itself, by way of %(steps)s.")
CANNOT_MEET = gettext_noop("Must come too soon after %(before)s: what lies between takes longer.")
WAITS_FOR = gettext_noop("Waits for %(before)s, which cannot be placed.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Screened:
    """A problem of which every step could be placed by itself, and what was taken out."""

    problem: Problem
    left: tuple[Left, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Longest:
    """The longest that can be worked at a stretch, slots: for each skill that somebody has, and in each weather."""

    with_skill: Mapping[str, int]
    in_weather: Mapping[str, int]

    @classmethod
    def of(cls, problem: Problem) -> "Longest":
        """Look through the calendars, each once."""
        with_skill: dict[str, int] = {}
        for person in problem.people:
            stretch = _longest(person.works)
            with_skill |= {skill: max(stretch, with_skill.get(skill, 0)) for skill in person.skills}
        return cls(with_skill=with_skill, in_weather={key: _longest(at) for key, at in problem.weather.items()})


def _longest(spans: Spans) -> int:
    return max((end - max(start, 0) for start, end in spans if end > 0), default=0)


def screen(problem: Problem) -> Screened:
    """Take out what cannot be placed, and what waits for it.

    Parameters
    ----------
    problem : Problem
        Any problem.

    Returns
    -------
    Screened
        The problem without the steps in ``left``: those whose skill nobody has or whose people have no hours, that are
        longer than any day, that need more room than there is, that wait for themselves or whose hard windows
        contradict the least lags, and all that come after one of these.
    """
    longest = Longest.of(problem)
    left = {step.key: why for step in problem.steps if (why := next(_alone(problem, longest, step), None))}
    _take_rings(problem, left)
    _take_contradictions(problem, left)
    spread(problem.links, left, {step.key: step for step in problem.steps})
    return Screened(problem=without(problem, left), left=tuple(left.values()))


def without(problem: Problem, keys: Iterable[str]) -> Problem:
    """The problem without some steps and the links to them."""
    gone = frozenset(keys)
    if not gone:
        return problem
    return replace(
        problem,
        steps=tuple(step for step in problem.steps if step.key not in gone),
        links=tuple(link for link in problem.links if link.before not in gone and link.after not in gone),
        kept=tuple(kept for kept in problem.kept if kept.step not in gone),
    )


def spread(links: Iterable[Link], left: dict[str, Left], steps: Mapping[str, Step]) -> None:
    """Leave out too whatever waits for a step that is left out; what is under way waits for nothing."""
    after: dict[str, list[str]] = defaultdict(list)
    for link in links:
        if link.least is not None and not steps[link.after].under_way:
            after[link.before].append(link.after)
    reached = list(left)
    while reached:
        before = reached.pop()
        for key in after[before]:
            if key not in left:
                left[key] = leave(key, WAITS_FOR, before=called(steps[before]))
                reached.append(key)


def leave(step: str, text: str, **values: object) -> Left:
    """A step that is left out, with its reason."""
    return Left(step=step, text=text, values={name: str(value) for name, value in values.items()})


def called(step: Step) -> str:
    """A step's name in a sentence."""
    return f"{step.title or step.key} ({step.job})"


def _alone(problem: Problem, longest: Longest, step: Step) -> Iterator[Left]:
    """Why a step cannot be placed though it had the shop to itself."""
    ahead = step.sittings[len(step.begun) :]
    if step.skill is not None and ahead:
        yield from _no_hands(longest, step.key, step.skill, max(ahead))
    if step.weather is not None and ahead and longest.in_weather[step.weather] < max(ahead):
        yield leave(step.key, NO_WEATHER)
    if step.under_way:
        return
    yield from _no_room(problem, step)
    if step.earliest >= problem.horizon:
        yield leave(step.key, TOO_LATE)


def _no_room(problem: Problem, step: Step) -> Iterator[Left]:
    resources = {resource.key: resource for resource in problem.resources}
    for use in step.uses:
        resource = resources[use.resource]
        if use.amount > resource.capacity:
            called = resource.title or resource.key
            yield leave(step.key, NO_ROOM, resource=called, capacity=resource.capacity, amount=use.amount)


def _no_hands(longest: Longest, step: str, skill: str, sitting: int) -> Iterator[Left]:
    stretch = longest.with_skill.get(skill)
    if stretch is None:
        yield leave(step, NO_SKILL, skill=skill)
    elif stretch == 0:
        yield leave(step, NO_HOURS, skill=skill)
    elif stretch < sitting:
        yield leave(step, TOO_LONG, hours=f"{sitting / SLOTS_AN_HOUR:g}")


def _take_rings(problem: Problem, left: dict[str, Left]) -> None:
    """Leave out the steps that wait for themselves."""
    steps = {step.key: step for step in problem.steps}
    links = [link for link in problem.links if link.least is not None and not steps[link.after].under_way]
    in_rings = _peeled([(link.before, link.after) for link in links])
    for key in steps:
        if key in in_rings and key not in left:
            left[key] = leave(key, IN_A_RING, steps=", ".join(called(steps[name]) for name in in_rings[key]))


def _peeled(pairs: list[tuple[str, str]]) -> dict[str, list[str]]:
    """By step in a ring, the steps of its ring: those that it reaches and that reach it."""
    core = set(pairs)
    while True:
        froms, tos = {a for a, _ in core}, {b for _, b in core}
        kept = {(a, b) for a, b in core if a in tos and b in froms}
        if kept == core:
            break
        core = kept
    ahead: dict[str, set[str]] = defaultdict(set)
    for a, b in core:
        ahead[a].add(b)
    reach = {key: _reached(key, ahead) for key in ahead}
    return {
        key: [other for other in sorted(found) if key in reach.get(other, ())]
        for key, found in reach.items()
        if key in found
    }


def _reached(key: str, ahead: Mapping[str, set[str]]) -> set[str]:
    found: set[str] = set()
    edge = [key]
    while edge:
        for other in ahead.get(edge.pop(), ()):
            if other not in found:
                found.add(other)
                edge.append(other)
    return found


def _take_contradictions(problem: Problem, left: dict[str, Left]) -> None:
    """Leave out the step after a hard window that the least lags between cannot meet, until none is left.

    The longest ways through the least lags, the lengths and the hard windows turned round have no positive ring
    exactly when the times alone can be met (Bellman-Ford; Neumann, Schwindt and Zimmermann 2003, section 1.3).
    """
    steps = {step.key: step for step in problem.steps}
    hard = [link for link in problem.links if link.most is not None and link.sanding is None]
    while hard and (ring := _positive_ring(problem, left, steps)):
        closing = next((link for link in hard if link.after in ring and link.before in ring), None)
        if closing is None:
            return
        left[closing.after] = leave(closing.after, CANNOT_MEET, before=called(steps[closing.before]))
        spread(problem.links, left, steps)


def _positive_ring(problem: Problem, left: Mapping[str, Left], steps: Mapping[str, Step]) -> list[str]:
    """The steps of a ring of time lags that cannot be met; empty when there is none."""
    arcs = [
        arc
        for link in problem.links
        if link.before not in left and link.after not in left
        for arc in _arcs(link, steps)
    ]
    at = dict.fromkeys(steps, 0)
    came: dict[str, str] = {}
    moved = ""
    for _ in range(len(steps) + 1):
        moved = ""
        for before, after, lag in arcs:
            if at[before] + lag > at[after]:
                at[after], came[after], moved = at[before] + lag, before, after
        if not moved:
            return []
    return _ring_behind(moved, came)


def _ring_behind(key: str, came: Mapping[str, str]) -> list[str]:
    for _ in came:
        key = came[key]
    ring = [key]
    while (key := came[key]) != ring[0]:
        ring.append(key)
    return ring


def _arcs(link: Link, steps: Mapping[str, Step]) -> Iterator[tuple[str, str, int]]:
    """A link as least lags from start to start, with the hands-on time of the step before at its shortest."""
    before, after = steps[link.before], steps[link.after]
    if after.under_way or before.under_way:
        return
    length = {Since.START: 0, Since.HANDS: before.labour, Since.READY: before.labour + before.dry}[link.since]
    if link.least is not None:
        yield link.before, link.after, length + link.least
    may_pause = (
        link.since is not Since.START and len(before.sittings) > 1
    )  # its end may then come later than its start says
    if link.most is not None and link.sanding is None and not may_pause:
        yield link.after, link.before, -length - link.most
