"""A planning problem as a model for the solver: some steps move, the others are blocks, and so are nights and wet days.

Every calendar is a row of fixed blocks in a cumulative or no-overlap constraint: domains with holes for the working
hours made the first answer come 30 to 40 times later.
"""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from stages.planner.bounds import Bounding
from stages.planner.cost import cost_of
from stages.planner.ground import Ground, Levels, Taken, runs
from stages.planner.model_cost import add_cost
from stages.planner.parts import Part, Read, Seat, held_in, part_of, placed_of
from stages.planner.problem import Held, Link
from stages.planner.reach import Reach
from stages.planner.schedule import Schedule
from stages.planner.solver import Draft, Expr
from stages.planner.timegrid import SLOTS_A_DAY
from stages.planner.verify import moment

SLACK = 28 * SLOTS_A_DAY  # how far past the plan so far anything may be put off


class Laid(NamedTuple):
    """Slots that something takes, how much of it, and between which slots they lie."""

    span: Expr
    amount: int
    first: int
    last: int


class Model:
    """The model of a problem around a plan of it.

    Parameters
    ----------
    ground : Ground
        The problem.
    schedule : Schedule
        A plan that holds; each variable starts from its value there.
    free : collection of str
        The steps that move, see `Ground.with_windows`; all others stay.
    holds : bool
        Whether the plan holds; else it is only where the search begins, and what is found may cost more.
    """

    def __init__(self, ground: Ground, schedule: Schedule, free: Collection[str], *, holds: bool = True) -> None:
        self.ground, self.schedule = ground, schedule
        self.draft = Draft()
        free = frozenset(free) & schedule.by_step.keys()
        last = max((placed.ready for placed in schedule.placed), default=0)
        self.upto = min(ground.slots, last + SLACK) if holds else ground.slots
        self.taken = Taken(ground, schedule, free)
        self.reach = Reach(ground, self.taken, self.upto)
        bounds = Bounding(ground, schedule, free, self.reach, capped=holds).found
        self._people: dict[str, list[Laid]] = defaultdict(list)
        self._skilled: dict[str, list[Laid]] = defaultdict(list)
        self._outdoors: dict[str, list[Laid]] = defaultdict(list)
        self._rooms: dict[str, list[Laid]] = defaultdict(list)
        self.parts: dict[str, Part] = {}
        for now in schedule.placed:
            if now.step in free:
                step = ground.steps[now.step]
                part = part_of(self.draft, step, now, ground.sandings(step), bounds[now.step])
                self.parts[now.step] = part
                self._work(part)
        for link in ground.problem.links:
            if link.before in self.parts or link.after in self.parts:
                self._link(link)
        self._close_rooms()
        self._close_calendars()
        add_cost(self.draft, ground, schedule, self.parts, self.upto, capped=holds)

    def read(self, value: Read) -> Schedule:
        """The plan that the variables' values say."""
        placed = tuple(
            placed_of(self.parts[one.step], value) if one.step in self.parts else one for one in self.schedule.placed
        )
        return replace(self.schedule, placed=placed, cost=cost_of(self.ground.problem, placed))

    def _work(self, part: Part) -> None:
        """Its start, its sittings' people and weather, and what it takes hold of."""
        step = part.step
        if not step.under_way and step.earliest > 0:
            self.draft.at_least(part.start, step.earliest)
        for seat in part.seats:
            if not 0 < seat.number <= len(step.begun):
                self._sit(part, seat)
        for use in step.uses:
            span = held_in(self.draft, part, use.held)
            if span is not None:
                end = part.latest_end + (0 if use.held is Held.HANDS else step.dry)
                self._rooms[use.resource].append(Laid(span, use.amount, part.bounds.begin, end))

    def _sit(self, part: Part, seat: Seat) -> None:
        step, draft = part.step, self.draft
        own = seat.number - 1
        first, last = (part.bounds.begin, part.bounds.last[0])
        if own >= 0:
            first, last = part.bounds.first[own], part.bounds.last[own]

        def laid(when: Expr) -> Laid:
            return Laid(draft.span(seat.start, seat.length, seat.end, when=when), 1, first, last + seat.length)

        span = laid(seat.when)
        if step.weather is not None:
            self._outdoors[step.weather].append(span)
        if step.skill is None:
            return
        self._skilled[step.skill].append(span)
        able = self.ground.able[step.skill]
        if len(able) == 1:
            seat.people = {able[0]: None}
            self._people[able[0]].append(span)
        else:
            now = next((sitting.person for sitting in part.now.sittings if sitting.number == seat.number), None)
            can = self.reach.who(step, seat.length, first, last)
            seat.people = {key: draft.truth(now == key) for key in able if key in can or key == now}
            truths = list(seat.people.values())
            draft.exactly_one(truths if seat.when is None else [*truths, draft.no(seat.when)])
            for key, truth in seat.people.items():
                self._people[key].append(laid(truth))

    def _link(self, link: Link) -> None:
        draft, placed = self.draft, self.schedule.by_step
        if link.before not in placed or link.after not in placed or self.ground.steps[link.after].under_way:
            return
        before, after = self.parts.get(link.before), self.parts.get(link.after)
        from_ = before.moment(link.since) if before else moment(placed[link.before], link.since)
        if link.least is not None:
            draft.at_least(after.start if after else placed[link.after].start, from_ + link.least)
        if link.most is None:
            return
        coat = after.coat if after else placed[link.after].coat_start
        if link.sanding is None:
            draft.at_least(from_ + link.most, coat)
        elif after is not None:
            enough = [truth for length, truth in after.sanded.items() if length >= link.sanding]
            draft.at_least(from_ + link.most, coat, when=[draft.no(truth) for truth in enough])
        elif not placed[link.after].sanded:
            draft.at_least(from_ + link.most, coat)

    def _close_rooms(self) -> None:
        for key, spans in self._rooms.items():
            self._together(spans, self.taken.room[key], self.ground.capacity[key])

    def _close_calendars(self) -> None:
        for key, spans in self._outdoors.items():
            self._together(spans, self.ground.wet[key] * len(spans), len(spans))
        for key, spans in self._people.items():
            self._together(spans, self.taken.busy[key], 1)
        for people, spans in self._groups():
            away = np.sum([self.taken.busy[key] for key in people], axis=0)
            self._together(spans, away, len(people))

    def _groups(self) -> list[tuple[frozenset[str], list[Laid]]]:
        """Sets of two people or more, with the sittings that only they can sit through: nested, more than once."""
        able = {skill: frozenset(self.ground.able[skill]) for skill in self._skilled}
        groups = {people for people in (*able.values(), frozenset().union(*able.values())) if len(people) > 1}
        return [
            (people, [span for skill, spans in self._skilled.items() if able[skill] <= people for span in spans])
            for people in sorted(groups, key=sorted)
        ]

    def _together(self, spans: list[Laid], levels: Levels, capacity: int) -> None:
        """No more at a time than there is, beside what stays; blocks that none of them can meet are left away."""
        near = np.zeros(len(levels) + 1, np.int32)
        for laid in spans:
            near[min(laid.first, len(levels))] += 1
            near[min(laid.last, len(levels))] -= 1
        blocks = list(runs(np.where(np.cumsum(near[:-1]) > 0, levels, 0), len(levels)))
        every = [laid.span for laid in spans] + [self.draft.block(start, end) for start, end, _ in blocks]
        if capacity == 1:
            self.draft.one_at_a_time(every)
        else:
            amounts = [laid.amount for laid in spans] + [level for _, _, level in blocks]
            self.draft.together_at_most(every, amounts, capacity)
