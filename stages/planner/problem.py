"""A planning problem: people, places, dry weather, boats, their steps, and what must lie between the steps.

Times are whole slots of 15 minutes since ``Problem.start`` (see `stages.planner.timegrid`); zero is now, nights and
weekends are counted. The model is the resource-constrained project scheduling problem with minimum and maximum time
lags (Neumann, Schwindt and Zimmermann 2003, Project Scheduling with Time Windows and Scarce Resources, chapter 1),
with hands that have calendars, places that stay taken while a coat dries, and soft maximum lags.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from itertools import combinations

from hulls.wording import gettext_noop
from stages.planner.errors import PlannerError
from stages.planner.keys import check_spans, keys_of, known
from stages.planner.timegrid import Spans


class Held(StrEnum):
    """For how long a step takes hold of a resource."""

    HANDS = "hands"  # from the start of its first sitting to the end of its last, the nights between them too
    READY = "ready"  # from the start of its first sitting until it is dry
    DRYING = "drying"  # from the end of its last sitting until it is dry: the rack


class Since(StrEnum):
    """From which moment of the step before a lag counts."""

    START = "start"  # of its first sitting, a sanding not counted
    HANDS = "hands"  # the end of its last sitting
    READY = "ready"  # when it is dry


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """One pair of hands: what they can do and when they are there; one sitting at a time."""

    key: str
    name: str
    skills: frozenset[str]
    works: Spans

    def __post_init__(self) -> None:
        check_spans("works", self.works)


@dataclass(frozen=True, slots=True, kw_only=True)
class Resource:
    """Places of one kind (or a rack, or a machine): how many hulls find room there at once."""

    key: str
    title: str
    capacity: int

    def __post_init__(self) -> None:
        if self.capacity < 0:
            raise PlannerError("capacity", gettext_noop("A station has no fewer places than none."))


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """What a step takes of a resource, and for how long."""

    resource: str
    amount: int = 1
    held: Held = Held.HANDS

    def __post_init__(self) -> None:
        if self.amount < 1:
            raise PlannerError("amount", gettext_noop("A step takes one place at least."))


def _at_once(one: Use, other: Use) -> bool:
    return {one.held, other.held} != {Held.HANDS, Held.DRYING}


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A boat: when it is promised, how much a slot of delay weighs, and how much each slot until it is done does."""

    key: str
    title: str = ""
    due: int | None = None
    weight: int = 1
    flow: int = 0

    def __post_init__(self) -> None:
        if self.weight < 0 or self.flow < 0:
            raise PlannerError("weight", gettext_noop("A weight is zero or more."))


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """A sitting that is under way: it started at a slot (zero or before), and who sits at it."""

    start: int
    person: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """Why a step cannot start before a slot: ``approval``, ``stores``, ``arrival``, ``drying``, ``window`` or other."""

    until: int
    why: str
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of one boat.

    Parameters
    ----------
    key, job, title : str
        Its name in the problem, the boat's, and what the shop calls it.
    sittings : tuple of int
        Hands-on lengths, slots, each sat through by one person within one of the spans in which that person works;
        empty where nobody is needed, as for what only dries.
    skill : str or None
        What the person must be able to do; None for work without hands: machines, weather, drying.
    uses : tuple of Use
        What it takes hold of, of each resource once at a time.
    dry : int
        Slots from the end of its last sitting until it is ready, nights counted.
    weather : str or None
        Key in ``Problem.weather``: every sitting lies within one of its spans.
    kind : str
        Kind of work, by which hours are learnt; the key of the route's stage.
    holds : tuple of Hold
        It starts at none of the slots before these are over.
    begun : tuple of Begun
        What is under way is a fact: no link, hold, calendar, weather or lack of room speaks against it.
        Its leading sittings that are under way, frozen; mostly none or one.
    since : int or None
        The slot, zero or before, from which a step under way has held its places.
    """

    key: str
    job: str
    title: str = ""
    sittings: tuple[int, ...] = ()
    skill: str | None = None
    uses: tuple[Use, ...] = ()
    dry: int = 0
    weather: str | None = None
    kind: str = ""
    holds: tuple[Hold, ...] = ()
    begun: tuple[Begun, ...] = ()
    since: int | None = None

    def __post_init__(self) -> None:
        if any(length < 1 for length in self.sittings) or self.dry < 0:
            raise PlannerError("sittings", gettext_noop("A sitting lasts a slot at least; nothing dries backwards."))
        if len(self.begun) > len(self.sittings):
            raise PlannerError("begun", gettext_noop("More sittings are under way than the step has."))
        if any(begun.start > 0 for begun in self.begun):
            raise PlannerError("begun", gettext_noop("A step under way began now or before."))
        if self.since is not None and self.since > 0:
            raise PlannerError("since", gettext_noop("A step under way began now or before."))
        if any(one.resource == other.resource and _at_once(one, other) for one, other in combinations(self.uses, 2)):
            raise PlannerError("uses", gettext_noop("A step takes a resource once at a time: how much is its amount."))

    @property
    def earliest(self) -> int:
        """The first slot at which it may start."""
        return max((hold.until for hold in self.holds), default=0)

    @property
    def under_way(self) -> bool:
        """Whether it is a fact, against which nothing speaks."""
        return bool(self.begun) or self.since is not None

    @property
    def labour(self) -> int:
        """Hands-on slots, all its sittings together."""
        return sum(self.sittings)


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """What lies between two steps.

    Parameters
    ----------
    before, after : str
        Keys of the steps.
    since : Since
        From which moment of ``before`` the lags count, to the start of ``after``.
    least : int or None
        Fewest slots between; may be negative. None where there is only a most: then ``after`` may come first.
    most : int or None
        Most slots between: a recoat window.
    sanding : int or None
        What missing ``most`` costs: slots of one sitting more before ``after``'s own; ``most`` then binds neither the
        sanding nor the sittings behind it. None where it cannot be missed.
    """

    before: str
    after: str
    since: Since = Since.READY
    least: int | None = 0
    most: int | None = None
    sanding: int | None = None

    def __post_init__(self) -> None:
        if self.least is None and self.most is None:
            raise PlannerError("least", gettext_noop("A link needs a least or a most."))
        if self.least is not None and self.most is not None and self.most < self.least:
            raise PlannerError("most", gettext_noop("The recoat window closes before it opens."))
        if self.sanding is not None and (self.sanding < 1 or self.most is None):
            raise PlannerError("sanding", gettext_noop("A sanding lasts one slot at least, and belongs to a window."))


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """Where the plan before had a sitting of the next days: moving it costs ``Weights.shuffle`` a slot, up to a day."""

    step: str
    number: int
    start: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """What a plan costs beside the boats' own weights: a window missed, a slot of the last finish, a slot moved."""

    missed: int = 8
    makespan: int = 0
    shuffle: int = 0

    def __post_init__(self) -> None:
        for name in ("missed", "makespan", "shuffle"):
            if getattr(self, name) < 0:
                raise PlannerError(name, gettext_noop("A weight is zero or more."))


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Everything that a plan is made from.

    Parameters
    ----------
    horizon : int
        Nothing starts at or after this slot.
    people, resources, jobs, steps, links
        See there.
    weather : mapping of str to spans
        By kind, the spans in which such sittings can be held: dry days.
    kept : tuple of Kept
        What should not be shuffled.
    weights : Weights
        What costs how much.
    start : datetime or None
        The instant of slot zero, aware; None for a problem without a calendar.

    Raises
    ------
    PlannerError
        On keys that are double or unknown. What cannot be placed is no error: see `stages.planner.screen`.
    """

    horizon: int
    people: tuple[Person, ...] = ()
    resources: tuple[Resource, ...] = ()
    jobs: tuple[Job, ...] = ()
    steps: tuple[Step, ...] = ()
    links: tuple[Link, ...] = ()
    weather: Mapping[str, Spans] = field(default_factory=dict)
    kept: tuple[Kept, ...] = ()
    weights: Weights = Weights()
    start: datetime | None = None

    def __post_init__(self) -> None:
        if self.horizon < 1:
            raise PlannerError("horizon", gettext_noop("A plan looks one slot ahead at least."))
        for spans in self.weather.values():
            check_spans("weather", spans)
        people = keys_of("people", [person.key for person in self.people])
        resources = keys_of("resources", [resource.key for resource in self.resources])
        jobs = keys_of("jobs", [job.key for job in self.jobs])
        steps = keys_of("steps", [step.key for step in self.steps])
        for step in self.steps:
            known("job", step.job, jobs)
            for use in step.uses:
                known("resource", use.resource, resources)
            for begun in step.begun:
                if begun.person is not None:
                    known("person", begun.person, people)
            if step.weather is not None:
                known("weather", step.weather, self.weather)
        for link in self.links:
            known("before", link.before, steps)
            known("after", link.after, steps)
        for kept in self.kept:
            known("step", kept.step, steps)
