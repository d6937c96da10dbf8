"""The grid on which plans are made: slots of 15 minutes since the problem's start, nights and weekends counted."""

from bisect import bisect_right
from operator import itemgetter

SLOT_MIN = 15  # an hour's grid rounds short jobs up until the labour of a shop is 12 to 14 % too much
SLOTS_AN_HOUR = 60 // SLOT_MIN
SLOTS_A_DAY = 24 * SLOTS_AN_HOUR
LONGEST_SITTING = 4 * SLOTS_AN_HOUR

Spans = tuple[tuple[int, int], ...]  # sorted, apart, each from its first slot to before its second


def cut(minutes: float, longest: int = LONGEST_SITTING) -> tuple[int, ...]:
    """Cut hands-on time into sittings of even length.

    Parameters
    ----------
    minutes : float
        Hands-on time, min, zero or more; rounded to whole slots, any work to one at least.
    longest : int
        Longest sitting, slots.

    Returns
    -------
    tuple of int
        Lengths, slots, as few as can be and none longer than another by more than one; empty for no work.
    """
    if minutes <= 0:
        return ()
    slots = max(1, round(minutes / SLOT_MIN))
    pieces = -(-slots // longest)
    short, longer = divmod(slots, pieces)
    return (short + 1,) * longer + (short,) * (pieces - longer)


def inside(spans: Spans, start: int, end: int) -> bool:
    """Whether one of the spans holds all of [start, end)."""
    at = bisect_right(spans, start, key=itemgetter(0)) - 1
    return at >= 0 and end <= spans[at][1]
