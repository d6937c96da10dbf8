"""Path data of a picture read back by an independent SVG reader (svgelements)."""

from svgelements import Close, Line, Move
from svgelements import Path as SvgPath

Point = tuple[float, float]


def strokes(data: str) -> list[list[Point]]:
    """The points of each stroke; a closed one ends without its way back."""
    found: list[list[Point]] = []
    for segment in SvgPath(data):
        if isinstance(segment, Move):
            found.append([(segment.end.x, segment.end.y)])
        elif isinstance(segment, Line) and not isinstance(segment, Close):
            found[-1].append((segment.end.x, segment.end.y))
    return found


def points(data: str) -> list[Point]:
    """The points of a path of one stroke."""
    (only,) = strokes(data)
    return only


def share(percent: str) -> float:
    """A place along time from 0 to 1."""
    assert percent.endswith("%")
    return float(percent[:-1]) / 100.0
