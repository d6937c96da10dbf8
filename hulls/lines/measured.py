"""The sizes of hulls from four tape measures and a type."""

from collections.abc import Iterator
from dataclasses import fields, replace

import numpy as np

from hulls.lines.adding import one, sizes_of_nets
from hulls.lines.cuts import girths_along
from hulls.lines.errors import LinesError
from hulls.lines.form import COARSE, FINE, Measures, surface
from hulls.lines.principal import LIMITS, Principal
from hulls.lines.profile import profile
from hulls.lines.sizes import ManySizes, Sizes
from hulls.lines.skin import Array, strips
from hulls.lines.types import DEFAULT, Form, HullType, filled_in

# How far a canoe may lie from the form of its type, by eye from drawings: no published source.
FULLNESS_OUT, BOTTOM_OUT = 0.05, 0.25  # of the plan's rectangle; of the exponent
AT_ONCE = 48  # hulls: what fits a processor's nearest memory


def measure(principal: Principal, hull_type: HullType = DEFAULT) -> Sizes:
    """Reckon the sizes of a hull from its four measures and its type.

    Parameters
    ----------
    principal : Principal
        What was taken with the tape.
    hull_type : HullType
        What is taken for the shape between.

    Returns
    -------
    Sizes
        The spread is half the range of the outside area over the forms that such a canoe may have: fuller and finer,
        flatter and sharper in the bottom than its type, together.
    """
    known = filled_in(principal, hull_type)
    measures, form = Measures.of(known), form_of(known, hull_type)
    net = surface(measures, form, FINE)
    sizes = sizes_of_nets(measures, net, spread(measures, form))
    return one(sizes, girths_along(net, profile(known)))


def form_of(known: Principal, hull_type: HullType) -> Form:
    """Return the form of a type with the stems that the hull has."""
    return replace(hull_type.form, stem=known.stem or hull_type.form.stem)


def sizes_many(
    length_m: Array, beam_m: Array, depth_m: Array, end_depth_m: Array, hull_type: HullType = DEFAULT
) -> ManySizes:
    """Reckon the sizes of many hulls of one type at once.

    Parameters
    ----------
    length_m, beam_m, depth_m, end_depth_m : array
        Each of shape (hulls,), with the meaning that they have in `Principal`.
    hull_type : HullType
        The same for all of them.

    Returns
    -------
    ManySizes
        What `measure` gives for each of them.

    Raises
    ------
    LinesError
        For the first dimension outside the limits of `Principal`.
    """
    given = {"length_m": length_m, "beam_m": beam_m, "depth_m": depth_m, "end_depth_m": end_depth_m}
    columns = np.stack(np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in given.values())))
    for field, column in zip(given, columns, strict=True):
        if not np.all((column >= LIMITS[field].low_m) & (column <= LIMITS[field].high_m)):
            raise LinesError(field, f"{LIMITS[field].says}.")
    parts = [
        _batch(columns[:, start : start + AT_ONCE], hull_type.form) for start in range(0, columns.shape[1], AT_ONCE)
    ]
    return ManySizes(
        **{field.name: np.concatenate([getattr(part, field.name) for part in parts]) for field in fields(ManySizes)}
    )


def _batch(columns: Array, form: Form) -> ManySizes:
    length, beam, depth, end_depth = columns
    measures = Measures(
        length=length,
        beam=beam,
        depth=depth,
        end_depth=end_depth,
        rise=np.minimum(form.rocker * length, depth / 4),
    )
    return sizes_of_nets(measures, surface(measures, form, FINE), spread(measures, form))


def spread(measures: Measures, form: Form) -> Array:
    """Return half the range of the outside area over the plausible forms, per cent of their middle."""
    areas = [4 * np.sum(strips(surface(measures, other, COARSE))[0], axis=-1) for other in plausible(form)]
    least, most = np.minimum.reduce(areas), np.maximum.reduce(areas)
    return np.asarray(100 * (most - least) / (most + least))


def plausible(form: Form) -> Iterator[Form]:
    """Return the forms that a canoe of this form may have: full and flat, fine and sharp."""
    for fuller, flatter in ((1, 1), (-1, -1)):
        yield replace(
            form,
            fullness=min(max(form.fullness + fuller * FULLNESS_OUT, 0.5), 0.95),
            bottom=max(form.bottom * (1 + flatter * BOTTOM_OUT), 0.75),
        )
