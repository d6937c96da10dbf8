"""A hull's lines are written down."""

from datetime import datetime

from django.db import transaction

from hulls.lines import HULL_TYPES, LinesError, Offsets, measure_offsets, measure_taped
from hulls.models import Hull, LinesKind, LinesRecord
from hulls.offsets.kept import Lines, kept
from hulls.sizes import principal_of
from shop.models import CrewMember, Pulse

MOST_POINTS = 2000  # of a table that is kept: its text is read along with the hull on every page
LENGTHS_APART = 0.2  # of the hull's own: stations end short of a raked or recurved stem, but not by more


def record_lines(*, hull_id: int, lines: Lines | None, by: CrewMember, now: datetime) -> bool:
    """Write down what was taped of a hull, or its offsets; the hull's sizes come from them from then on.

    Parameters
    ----------
    hull_id : int
        The boat.
    lines : Offsets or tuple of Taped, or None
        What was measured; None goes back to the four measures.
    by : CrewMember
        Who writes it down.
    now : datetime
        The moment.

    Returns
    -------
    bool
        Whether anything changed; the same table sent again changes nothing.

    Raises
    ------
    LinesError
        For numbers that are not this hull's. Nothing was written.
    """
    table = kept(lines) if lines else ""
    with transaction.atomic():
        hull = Hull.objects.select_for_update().get(pk=hull_id)
        if hull.lines_table == table:
            return False
        if lines:
            _check(hull, lines)
        hull.lines_table = table
        hull.save(update_fields=["lines_table"])
        LinesRecord.objects.create(hull=hull, kind=kind_of(lines), table=table, recorded_at=now, by=by)
        Pulse.bump()
    return True


def kind_of(lines: Lines | None) -> LinesKind:
    """What a table holds."""
    if isinstance(lines, Offsets):
        return LinesKind.OFFSETS
    return LinesKind.TAPED if lines else LinesKind.NONE


def _check(hull: Hull, lines: Lines) -> None:
    if isinstance(lines, Offsets):
        if abs(lines.length_m - hull.length_m) > LENGTHS_APART * hull.length_m:
            raise LinesError(
                "offsets",
                f"The table is {lines.length_m:.3g} m long, the hull {hull.length_m:.3g} m. Are stations missing, "
                "or is it another boat's?",
            )
        if sum(len(station.points) for station in lines.stations) > MOST_POINTS:
            raise LinesError("offsets", f"A hull's table has {MOST_POINTS} points at most.")
        measure_offsets(lines)
    else:
        measure_taped(principal_of(hull), lines, HULL_TYPES[hull.hull_type])
