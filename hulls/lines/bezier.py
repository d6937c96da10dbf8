"""Plane cubic Bézier curves: the few operations that a hull's lines need."""

from dataclasses import dataclass

Point = tuple[float, float]

STEPS = 60  # halvings at most: beyond the precision of a float
CLOSE = 1e-12  # of the parameter


@dataclass(frozen=True, slots=True)
class Cubic:
    """One cubic Bézier curve from `start` to `end`, points as (x, z) in metres."""

    start: Point
    leave: Point
    arrive: Point
    end: Point

    def at(self, t: float) -> Point:
        """Return the point at the parameter `t` (0..1), in Bernstein form."""
        s = 1 - t
        a, b, c, d = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
        return (
            a * self.start[0] + b * self.leave[0] + c * self.arrive[0] + d * self.end[0],
            a * self.start[1] + b * self.leave[1] + c * self.arrive[1] + d * self.end[1],
        )

    def t_where(self, axis: int, value: float) -> float:
        """Return the parameter where a coordinate takes a value.

        Parameters
        ----------
        axis : int
            0 for x, 1 for z; the curve must run one way along this axis.
        value : float
            The coordinate in metres; beyond the curve's ends the nearer end is returned.

        Returns
        -------
        float
            The parameter, 0..1.
        """
        low, high = (0.0, 1.0) if self.start[axis] <= self.end[axis] else (1.0, 0.0)
        if value <= self.at(low)[axis]:
            return low
        if value >= self.at(high)[axis]:
            return high
        for _ in range(STEPS):
            middle = (low + high) / 2
            if self.at(middle)[axis] < value:
                low = middle
            else:
                high = middle
            if abs(high - low) < CLOSE:
                break
        return (low + high) / 2

    def mirrored(self) -> "Cubic":
        """Return the curve on the other side of amidships, run the other way."""
        return Cubic(_flip(self.end), _flip(self.arrive), _flip(self.leave), _flip(self.start))

    def reversed(self) -> "Cubic":
        """Return the same curve run the other way."""
        return Cubic(self.end, self.arrive, self.leave, self.start)

    def after(self, t: float) -> "Cubic":
        """Return the part of the curve beyond the parameter `t` (de Casteljau's division)."""
        first = _between(self.start, self.leave, t), _between(self.leave, self.arrive, t)
        last = _between(self.arrive, self.end, t)
        second = _between(*first, t), _between(first[1], last, t)
        return Cubic(_between(*second, t), second[1], last, self.end)


def _flip(point: Point) -> Point:
    return (-point[0], point[1])


def _between(a: Point, b: Point, t: float) -> Point:
    return (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)
