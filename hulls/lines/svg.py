"""Curves written as compact SVG path data (SVG 2, section 9: relative commands, z turned down the page)."""

from collections.abc import Iterable, Sequence

from hulls.lines.bezier import Cubic, Point
from hulls.lines.profile import Profile, Rib


def svg_path(side: Profile, px_per_m: float) -> str:
    """Write the closed outline of the side view.

    Parameters
    ----------
    side : Profile
        The side view, in metres.
    px_per_m : float
        Scale of the drawing; coordinates are rounded to a tenth of a unit.

    Returns
    -------
    str
        Path data, origin on the base line amidships.
    """
    return path_data(side.outline, px_per_m) + "z"


def path_data(curves: Sequence[Cubic], px_per_m: float) -> str:
    """Write curves that join end to end; `s` stands for a curve that carries on its neighbour's control point."""
    pen = _tenths(curves[0].start, px_per_m)
    parts = ["M" + _numbers(*pen)]
    mirrored = pen
    for curve in curves:
        leave, arrive, end = (_tenths(p, px_per_m) for p in (curve.leave, curve.arrive, curve.end))
        if leave == mirrored:
            parts.append("s" + _numbers(*_from(pen, arrive), *_from(pen, end)))
        else:
            parts.append("c" + _numbers(*_from(pen, leave), *_from(pen, arrive), *_from(pen, end)))
        mirrored = (2 * end[0] - arrive[0], 2 * end[1] - arrive[1])
        pen = end
    return "".join(parts)


def rib_data(ribs: Iterable[Rib], px_per_m: float) -> str:
    """Write ribs as upright strokes."""
    parts, pen = [], (0, 0)
    for rib in ribs:
        foot, head = _tenths((rib.x_m, rib.foot_m), px_per_m), _tenths((rib.x_m, rib.head_m), px_per_m)
        parts.append("m" + _numbers(*_from(pen, foot)) + "v" + _numbers(head[1] - foot[1]))
        pen = head
    return "".join(parts)


def polyline_data(points: Sequence[Point], px_per_m: float) -> str:
    """Write a broken line; a step too small to be seen is left out."""
    pen = _tenths(points[0], px_per_m)
    parts = ["M" + _numbers(*pen)]
    for point in points[1:]:
        to = _tenths(point, px_per_m)
        if to != pen:
            parts.append("l" + _numbers(*_from(pen, to)))
            pen = to
    return "".join(parts)


Tenths = tuple[int, int]


def _tenths(point: Point, px_per_m: float) -> Tenths:
    return (round(point[0] * px_per_m * 10), round(-point[1] * px_per_m * 10))


def _from(pen: Tenths, point: Tenths) -> Tenths:
    return (point[0] - pen[0], point[1] - pen[1])


def _numbers(*tenths: int) -> str:
    """Return tenths of a unit as decimals, with a space only where a sign does not part them."""
    text = ""
    for value in tenths:
        whole, part = divmod(abs(value), 10)
        digits = f"{whole or ''}.{part}" if part else str(whole)
        text += ("-" if value < 0 else " " if text else "") + digits
    return text
