"""A table as it is laid out for the loft, of a hull whose every number is known in closed form.

Half-breadth ``B (1 - u²) (1 - (1 - z/D)²)``, `u` from -1 at one end to 1 at the other, `z` up from the keel: parabolas
both ways, a shape of the textbooks of ship resistance (Wigley's hull). It closes to upright stems.
"""

import math
from collections.abc import Callable
from fractions import Fraction

from scipy.integrate import dblquad

LENGTH_FT, HALF_IN, DEPTH_IN = 16, 17, 12
INCH = 0.0254  # exact: NIST SP 811 (2008), appendix B.6
STATIONS = tuple(range(17))  # a foot apart
LEVELS = (1, 2, 3, 4, 6, 8, 10)
BUTTOCKS = (3, 6, 9, 12)


def half_breadth_in(u: float, z_in: float) -> float:
    return HALF_IN * (1 - u * u) * (1 - (1 - z_in / DEPTH_IN) ** 2)


def height_in(u: float, at_in: float) -> float | None:
    """Where a buttock meets the hull; none where the hull is narrower all the way up."""
    share = at_in / (HALF_IN * (1 - u * u)) if abs(u) < 1 else 2
    return DEPTH_IN * (1 - math.sqrt(1 - share)) if share <= 1 else None


def area_m2() -> float:
    """Both sides, by quadrature of the true slope of the skin, the ends open as they are sharp."""

    def skin(z: float, u: float) -> float:
        along = HALF_IN * -2 * u / (LENGTH_FT * 12 / 2) * (1 - (1 - z / DEPTH_IN) ** 2)
        up = HALF_IN * (1 - u * u) * 2 * (1 - z / DEPTH_IN) / DEPTH_IN
        return math.sqrt(1 + along**2 + up**2)

    side, _ = dblquad(skin, -1, 1, 0, DEPTH_IN)
    return 2 * float(side) * LENGTH_FT * 12 / 2 * INCH**2


def volume_m3() -> float:
    """Two thirds each way of the box."""
    return 2 * HALF_IN * DEPTH_IN * LENGTH_FT * 12 * Fraction(4, 9) * INCH**3


def eighths(inches: float, *, plus: bool) -> str:
    """Feet, inches and eighths, read to a sixteenth by a plus, or to the eighth alone."""
    sixteenths = round(inches * 16) if plus else 2 * round(inches * 8)
    whole, mark = divmod(sixteenths, 2)
    return f"{whole // 96}-{whole // 8 % 12}-{whole % 8}{'+' if mark else ''}"


def decimals(unit_in: float) -> Callable[[float], str]:
    return lambda inches: f"{inches / unit_in:.4f}"


def lines_of(write: Callable[[float], str]) -> list[tuple[str, str, list[str]]]:
    """Heading, name and cells of each line; a cell is a dash where the line does not reach."""
    us = [station / 8 - 1 for station in STATIONS]

    def cut(at: float) -> list[str]:
        return [write(z) if (z := height_in(u, at)) is not None else "-" for u in us]

    return [
        ("Heights", "Sheer", [write(DEPTH_IN)] * len(us)),
        *(("Heights", f"Butt {at} in", cut(at)) for at in BUTTOCKS),
        ("Heights", "Keel", [write(0)] * len(us)),
        ("Half-breadths", "Sheer", [write(half_breadth_in(u, DEPTH_IN)) for u in us]),
        *(("Half-breadths", f"WL {z} in", [write(half_breadth_in(u, z)) for u in us]) for z in LEVELS),
        ("Half-breadths", "Keel", [write(0)] * len(us)),
    ]


def across(write: Callable[[float], str]) -> str:
    """Stations across, a heading above each group, the spacing in a row of its own."""
    rows = ["Offsets of an invented hull", "Station spacing,1 ft", "Station," + ",".join(map(str, STATIONS))]
    before = ""
    for heading, name, cells in lines_of(write):
        rows += [heading] if heading != before else []
        rows.append(",".join([name, *cells]))
        before = heading
    return "\n".join([*rows, "To outside of planking"])


def down(write: Callable[[float], str]) -> str:
    """Stations down, the headings above the lines' names."""
    lines = lines_of(write)
    rows = [["", "", *(heading for heading, _, _ in lines)], ["Station", "From end", *(name for _, name, _ in lines)]]
    rows += [[f"S{station}", f"{station} ft", *(cells[station] for _, _, cells in lines)] for station in STATIONS]
    return "\n".join([*("\t".join(row) for row in rows), "Diagonals are left out"])


def titled(write: Callable[[float], str]) -> str:
    """Stations across, named by where they stand, each line's name telling all."""
    rows = ["Line;" + ";".join(f"{station} ft" for station in STATIONS)]
    for heading, name, cells in lines_of(write):
        told = f"{name}, {heading[:-1].lower()}" if name in ("Sheer", "Keel") else name.replace("WL", "Waterline")
        rows.append(";".join([told, *cells]))
    return "\n".join(rows)
