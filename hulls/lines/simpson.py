"""Simpson's rule, by which areas are reckoned by hand from ordinates evenly spaced."""

from collections.abc import Sequence

from hulls.lines.errors import LinesError


def simpson(ordinates: Sequence[float], spacing: float) -> float:
    """Return the area under a curve by Simpson's first rule, exact for curves up to the third degree.

    Parameters
    ----------
    ordinates : sequence of float
        An odd number of them, three at least, evenly spaced.
    spacing : float
        Between one and the next.

    Returns
    -------
    float
        In the product of both units.

    Raises
    ------
    LinesError
        For an even number of ordinates, or fewer than three.

    Notes
    -----
    Good for what runs smoothly to its ends: girths along a sharp hull. It leaves out the slope of the skin (one to two
    per cent of a canoe) and is low at blunt ends, so that areas here come from the skin itself and this is the check
    that a person can follow with a pencil.
    """
    if len(ordinates) < 3 or len(ordinates) % 2 == 0:
        raise LinesError("ordinates", "Simpson's rule needs an odd number of ordinates, three at least.")
    ends, fours, twos = ordinates[0] + ordinates[-1], sum(ordinates[1:-1:2]), sum(ordinates[2:-1:2])
    return spacing / 3 * (ends + 4 * fours + 2 * twos)
