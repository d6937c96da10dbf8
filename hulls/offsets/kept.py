"""How a table is kept on a hull's row: rows of metres under one line that names them."""

from collections.abc import Sequence

from hulls.lines import Offsets, Taped

Lines = Offsets | tuple[Taped, ...]

OFFSET_TITLES = "station_m,height_m,half_breadth_m"
TAPED_TITLES = "station_m,girth_m,half_breadth_m"


def kept(lines: Lines) -> str:
    """Write a table so that `read_kept` gives the very same one, and the command that takes a file reads it too."""
    if isinstance(lines, Offsets):
        rows = [(s.x_m, height, breadth) for s in lines.stations for height, breadth in s.points]
        return _written(OFFSET_TITLES, rows)
    return _written(TAPED_TITLES, [(t.x_m, t.girth_m, t.half_breadth_m) for t in lines])


def read_kept(table: str) -> Lines:
    """Read what `kept` wrote; no text is no stations."""
    titles, *rows = table.splitlines() or [""]
    cells = [row.split(",") for row in rows]
    if titles == OFFSET_TITLES:
        return Offsets.of_points((float(x), float(height), float(breadth)) for x, height, breadth in cells)
    return tuple(
        Taped(x_m=float(x), girth_m=_number(girth), half_breadth_m=_number(breadth)) for x, girth, breadth in cells
    )


def _number(cell: str) -> float | None:
    return float(cell) if cell else None


def _written(titles: str, rows: Sequence[tuple[float | None, ...]]) -> str:
    return "\n".join([titles, *(",".join("" if n is None else repr(float(n)) for n in row) for row in rows)])
