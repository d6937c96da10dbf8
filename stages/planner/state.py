"""What a schedule is built up in: where each step lies so far, who is free, what is taken."""

from typing import NamedTuple

import numpy as np

from stages.planner.arrays import Arrays, Ints, Record, Records
from stages.planner.compiled import part

OPEN, PLACED, LEFT = 0, 1, 2
NO_HOURS, NO_ROOM, TOO_LATE, BEHIND = 1, 2, 3, 4  # why a step is left out; `about` says which resource, link or step
LEFT_OUT = 1 << 42  # a step left out weighs more than anything that is placed

# state: OPEN, PLACED or LEFT; sanding: its length, 0 for none; soonest and soonest_end: repairs of hard lags.
PLACE = np.dtype(
    [
        (name, np.int64)
        for name in (
            *("state", "why", "about", "start", "coat", "end", "ready"),
            *("sanding", "sanding_at", "sanding_by", "soonest", "soonest_end"),
        )
    ]
)


class State(NamedTuple):
    """What a schedule is built up in; the same arrays serve again and again."""

    places: Records  # of every step
    starts: Ints  # of every sitting
    people: Ints  # and who sits
    free_first: Ints
    free_last: Ints
    free_n: Ints
    free_days: Ints
    times: Ints  # by resource: moments, and from each on how many places are taken
    levels: Ints
    times_n: Ints
    done: Ints  # by boat: the soonest that all of it can be ready
    totals: Ints  # cost so far, makespan so far, steps left out

    @classmethod
    def of(cls, arrays: Arrays) -> "State":
        """Room for a schedule of these."""
        moments = 2 * int(np.bincount(arrays.uses["resource"], minlength=1).max()) + 1
        resources = len(arrays.capacity)
        return cls(
            places=np.zeros(len(arrays.steps), PLACE),
            starts=np.zeros(len(arrays.lengths), np.int64),
            people=np.zeros(len(arrays.lengths), np.int64),
            free_first=np.zeros_like(arrays.free_first),
            free_last=np.zeros_like(arrays.free_last),
            free_n=np.zeros_like(arrays.free_n),
            free_days=np.zeros_like(arrays.free_days),
            times=np.zeros((resources, moments), np.int64),
            levels=np.zeros((resources, moments), np.int64),
            times_n=np.zeros(resources, np.int64),
            done=np.zeros(len(arrays.jobs), np.int64),
            totals=np.zeros(3, np.int64),
        )


@part
def leave(s: State, v: int, why: int, about: int) -> None:
    """Leave a step out."""
    s.places[v]["state"] = LEFT
    s.places[v]["why"] = why
    s.places[v]["about"] = about
    s.totals[0] += LEFT_OUT
    s.totals[2] += 1


@part
def moment(place: Record, since: int) -> int:
    """The moment of a step from which a lag counts."""
    if since == 0:
        return int(place["coat"])
    return int(place["end"]) if since == 1 else int(place["ready"])
