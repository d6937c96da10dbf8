"""Sizes of a hull that work is reckoned from: by the most exact of what was measured of it."""

from functools import lru_cache

from hulls.lines import (
    HULL_TYPES,
    LinesError,
    Offsets,
    Principal,
    Sizes,
    filled_in,
    measure,
    measure_offsets,
    measure_taped,
    principal_of_offsets,
)
from hulls.models import Hull
from hulls.offsets.kept import OFFSET_TITLES, read_kept

KEPT = 2048  # hulls: more than a shop has in hand
TABLES_KEPT = 512  # of those that have a table of offsets, whose text is kept along


def principal_of(hull: Hull) -> Principal:
    """What was taped of a hull: its measures, with rocker and stems as its type has them where they were not."""
    return _principal(hull.length_m, hull.beam_m, hull.depth_m, hull.end_depth_m, hull.rocker_m, hull.hull_type)


def drawn_from(hull: Hull) -> Principal:
    """The numbers that a hull is drawn from in side view: its table of offsets tells them, else its measures.

    Parameters
    ----------
    hull : Hull
        The boat. Its row alone is read: no query.

    Notes
    -----
    Taped stations have girths and breadths, which the side view does not show.
    """
    measured = principal_of(hull)
    return _of_table(measured, hull.lines_table) if hull.lines_table.startswith(OFFSET_TITLES) else measured


def sizes_of(hull: Hull) -> Sizes:
    """Sizes of a hull from an offset table, else from taped stations, else from its four measures and its type.

    Parameters
    ----------
    hull : Hull
        The boat. Its row alone is read: no query.

    Notes
    -----
    Taped stations that no longer fit, since a measure was changed after them, are left aside: the lines page says so.
    """
    return _sizes(principal_of(hull), hull.hull_type, hull.lines_table)


def outside_area_m2(hull: Hull) -> float:
    """Outside area of a hull, m²."""
    return sizes_of(hull).outside_area_m2


@lru_cache(maxsize=KEPT)
def _principal(
    length_m: float, beam_m: float, depth_m: float, end_depth_m: float, rocker_m: float | None, hull_type: str
) -> Principal:
    given = Principal(length_m=length_m, beam_m=beam_m, depth_m=depth_m, end_depth_m=end_depth_m, rocker_m=rocker_m)
    return filled_in(given, HULL_TYPES[hull_type])


@lru_cache(maxsize=TABLES_KEPT)
def _of_table(measured: Principal, table: str) -> Principal:
    lines = read_kept(table)
    assert isinstance(lines, Offsets)
    try:
        return principal_of_offsets(lines, measured)
    except LinesError:  # a model or a dinghy has areas, but no canoe's side view
        return measured


@lru_cache(maxsize=KEPT)
def _sizes(principal: Principal, hull_type: str, table: str) -> Sizes:
    kind = HULL_TYPES[hull_type]
    lines = read_kept(table)
    if isinstance(lines, Offsets):
        return measure_offsets(lines)
    if lines:
        try:
            return measure_taped(principal, lines, kind)
        except LinesError:
            pass
    return measure(principal, kind)
