"""What comes out of a good row of a sheet: a hull to take in."""

from dataclasses import dataclass
from datetime import date

from hulls.models import Filler, HullKind, InsideVarnish, Priority


@dataclass(frozen=True, slots=True, kw_only=True)
class HullRow:
    """One good row: a hull as the shop would take it in.

    Parameters
    ----------
    row
        Row as a spreadsheet counts it: the header is row 1.
    line
        Line of the file on which the row begins.
    tag, owner, email, phone, name, wood, fittings, notes
        Plain text, empty where the sheet says nothing; `name` is the boat's own.
    length_m, beam_m, depth_m, end_depth_m
        Principal dimensions in metres, together those of a canoe.
    rocker_m, hull_type, filler, inside_varnish, priority
        None where the sheet leaves them to the shop's usual way.
    colour, colour_name, old_colour
        The finish wanted, as ``#rrggbb`` and by name, and the colour that the boat came in; empty where not given.
    arrived_on, promised_on
        Dates; a promise is not before the arrival, an arrival not after the day of reading.
    """

    row: int
    line: int
    tag: str
    owner: str
    length_m: float
    beam_m: float
    depth_m: float
    end_depth_m: float
    rocker_m: float | None = None
    email: str = ""
    phone: str = ""
    name: str = ""
    hull_type: HullKind | None = None
    wood: str = ""
    fittings: str = ""
    filler: Filler | None = None
    inside_varnish: InsideVarnish | None = None
    colour: str = ""
    colour_name: str = ""
    old_colour: str = ""
    arrived_on: date | None = None
    promised_on: date | None = None
    priority: Priority | None = None
    notes: str = ""
