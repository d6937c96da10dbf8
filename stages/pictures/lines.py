"""Lines of a picture: few points, every peak kept, and path data that is short."""

from collections.abc import Iterable, Sequence

import numpy as np
import numpy.typing as npt

from stages.engine.air import FloatArray

MOST_POINTS = 120
Bools = npt.NDArray[np.bool_]
Points = Sequence[tuple[int, int]]


def thinned(seconds: FloatArray, values: FloatArray, most: int = MOST_POINTS) -> npt.NDArray[np.int64]:
    """Give the indices of few points that show the same line: ends, and the least and most of each stretch of time.

    Parameters
    ----------
    seconds : array, shape (n,)
        Rising moments.
    values : array, shape (n,)
        The line.
    most : int
        Most points to keep, at least 4.

    Returns
    -------
    array of int
        Rising indices, at most ``most``.
    """
    count = len(seconds)
    if count <= most:
        return np.arange(count)
    buckets = (most - 2) // 2
    share = (seconds - seconds[0]) / (seconds[-1] - seconds[0])
    edges = np.searchsorted(share, np.arange(buckets + 1) / buckets)
    kept = {0, count - 1}
    for begin, end in zip(edges[:-1].tolist(), [*edges[1:-1].tolist(), count], strict=True):
        if begin < end:
            part = values[begin:end]
            kept |= {begin + int(part.argmin()), begin + int(part.argmax())}
    return np.array(sorted(kept))


def path(points: Iterable[tuple[int, int]]) -> str:
    """Give path data through points, in steps from one to the next; nothing for fewer than two."""
    points = list(points)
    if len(points) < 2:
        return ""
    (x, y), *rest = points
    data = [f"M{x} {y}l"]
    for across, down in rest:
        data.append(f"{across - x} {down - y} ")
        x, y = across, down
    return "".join(data).rstrip().replace(" -", "-")


def area(points: Points, floor: int) -> str:
    """Give path data of what lies under a line, down to a floor."""
    return f"{path(points)}V{floor}H{points[0][0]}z" if len(points) > 1 else ""


def band(upper: Points, lower: Points) -> str:
    """Give path data of what lies between two lines."""
    return f"{path([*upper, *reversed(lower)])}z" if len(upper) > 1 else ""


def runs(points: Points, joined: Sequence[bool], wanted: bool) -> str:
    """Give path data of those stretches between neighbours that are joined as wanted.

    Parameters
    ----------
    points : sequence of (int, int)
        n points.
    joined : sequence of bool
        For each of the n - 1 stretches between them, whether it counts as joined.
    wanted : bool
        Which of the two to draw.
    """
    data, run = [], list(points[:1])
    for point, is_joined in zip(points[1:], joined, strict=True):
        if is_joined is wanted:
            run.append(point)
        else:
            data.append(path(run))
            run = [point]
    return "".join([*data, path(run)])
