"""How the shop works, as far as amounts depend on it. Every number: common practice, no published source."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from types import MappingProxyType

from hulls.takeoff.errors import TakeOffError
from hulls.takeoff.grades import check_grade

INCH = 0.0254
# How many coats the first one counts for, on a surface that soaks it up: canvas drinks the first coat of filler.
THIRST = MappingProxyType({"latex_filler": 1.5, "oil_filler": 2.0, "sealer": 1.25})
# Thinner put in, as a share of the coat's volume.
THINNING = MappingProxyType({"varnish": 0.05, "primer": 0.05, "enamel": 0.05})
# Grit between two coats, and before the next kind.
SANDING = MappingProxyType({"oil_filler": 120, "primer": 220, "enamel": 320, "varnish": 320})
STRAINED = frozenset({"varnish", "primer", "enamel"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """The shop's ways; lengths in metres, shares of one.

    Parameters
    ----------
    clamp_m : float
        Canvas over each end of the hull, for the clamps and the pull along.
    grip_m : float
        Canvas over the sheer on each side, for the pull across.
    sheer_spacing_m, stem_spacing_m, stem_rows : float
        Between the tacks along the sheers and up the stems, and the rows that close a stem.
    rib_width_m, plank_width_m, rib_spacing_m, plank_length_m : float
        Of what is renewed; a length of planking is as long as a usual repair.
    tacks_a_crossing : int
        Tacks where a plank crosses a rib.
    timber_spare, end_spare_m, board_m2, scarf_m : float
        Share that breaks in bending or has bad grain; what a piece is cut longer than it ends up; a deck's board; a
        place mended by scarfing a piece in.
    spare : float
        Share of tacks and screws that bend, break or get lost.
    screw_spacing_m : float
        Along an outwale.
    inside_roughness : float
        What ribs and their edges make of a smooth inside.
    brightwork_m2_per_m : float
        Gunwales, decks, thwarts and seats, by the length of the hull.
    bead_l_per_m : float
        Bedding under keel, stem bands and outwales.
    glue_l : float
        Glue of one place.
    m2_per_sheet : float
        What a sheet of abrasive sands before it is worn.
    fairing_grits : tuple of int
        Grits, one after the other, that fair the bare hull.
    thirst, thinning, sanding : mapping
        By kind of product; see the constants above.
    wash_up_l : float
        Solvent that cleans up after one oil-based coat.
    rags_kg, gloves_pairs, strainers : float
        Of one coat; strainers where it is strained.
    """

    clamp_m: float = 12 * INCH
    grip_m: float = 2 * INCH
    sheer_spacing_m: float = 1.5 * INCH
    stem_spacing_m: float = 0.75 * INCH
    stem_rows: int = 2
    rib_width_m: float = 2.25 * INCH
    plank_width_m: float = 3 * INCH
    rib_spacing_m: float = 4 * INCH
    plank_length_m: float = 48 * INCH
    tacks_a_crossing: int = 4
    timber_spare: float = 0.2
    end_spare_m: float = 6 * INCH
    board_m2: float = 0.15
    scarf_m: float = 36 * INCH
    spare: float = 0.1
    screw_spacing_m: float = 6 * INCH
    inside_roughness: float = 1.2
    brightwork_m2_per_m: float = 0.35
    bead_l_per_m: float = 0.04
    glue_l: float = 0.05
    m2_per_sheet: float = 1.5
    fairing_grits: tuple[int, ...] = (80, 120)
    thirst: Mapping[str, float] = field(default_factory=lambda: THIRST)
    thinning: Mapping[str, float] = field(default_factory=lambda: THINNING)
    sanding: Mapping[str, int] = field(default_factory=lambda: SANDING)
    wash_up_l: float = 0.1
    rags_kg: float = 0.1
    gloves_pairs: float = 2.0
    strainers: float = 1.0

    def __post_init__(self) -> None:
        for name in (found.name for found in fields(self)):
            value = getattr(self, name)
            if isinstance(value, int | float) and not 0 <= value < 1000:
                raise TakeOffError(name, "A length, share or number of the shop's practice is zero or more.")
        for name in ("sheer_spacing_m", "stem_spacing_m", "screw_spacing_m", "m2_per_sheet", "plank_width_m"):
            if not getattr(self, name):
                raise TakeOffError(name, "This is divided by: it is more than nothing.")
        if not self.rib_spacing_m:
            raise TakeOffError("rib_spacing_m", "Ribs stand some way apart.")
        for grit in (*self.fairing_grits, *self.sanding.values()):
            check_grade(grit)


USUAL = Practice()
