"""What is known of a hull's size, for one and for many."""

from dataclasses import dataclass

from hulls.lines.skin import Array

# A smooth inside lies within the outside by the planking and the ribs: 1/4 in and 5/16 in, common practice, no
# published source. The edges of the ribs are not counted.
SKIN_M = (1 / 4 + 5 / 16) * 0.0254


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """The sizes of one hull.

    Parameters
    ----------
    outside_area_m2 : float
        Skin outside, both sides, without ends that are cut off square (transoms).
    inside_area_m2 : float
        The same within planking and ribs, smooth: the outside less the thickness times what the sections turn
        (Steiner's formula for parallel curves); the edges of the ribs are not counted.
    side_area_m2 : float
        Of the side view below the sheer.
    greatest_girth_m : float
        Sheer to sheer round the keel, where it is longest.
    sheer_length_m : float
        One side, stem to stem, along the curve.
    keel_length_m, stem_length_m : float
        The keel line between the heels of the stems, and one stem.
    length_m, beam_m : float
        Over all.
    volume_m3 : float
        To the sheer.
    spread_pct : float
        How far the outside area may be out, either way, per cent.
    girths : tuple of (float, float)
        Along the length from one end: where, in metres, and the girth there, sheer to sheer, in metres.
    """

    outside_area_m2: float
    inside_area_m2: float
    side_area_m2: float
    greatest_girth_m: float
    sheer_length_m: float
    keel_length_m: float
    stem_length_m: float
    length_m: float
    beam_m: float
    volume_m3: float
    spread_pct: float
    girths: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ManySizes:
    """The sizes of many hulls: each field an array, one number a hull, with the meaning that it has in `Sizes`."""

    outside_area_m2: Array
    inside_area_m2: Array
    side_area_m2: Array
    greatest_girth_m: Array
    sheer_length_m: Array
    keel_length_m: Array
    stem_length_m: Array
    length_m: Array
    beam_m: Array
    volume_m3: Array
    spread_pct: Array
