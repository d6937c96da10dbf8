"""The sizes of hulls from four tape measures and a type."""

from collections.abc import Iterator, Sequence
from dataclasses import fields, replace

import numpy as np

from hulls.lines.cuts import girths_along
from hulls.lines.errors import LinesError
from hulls.lines.form import COARSE, FINE, Measures, surface
from hulls.lines.principal import LIMITS, Principal
from hulls.lines.profile import profile
from hulls.lines.sizes import SKIN_M, ManySizes, Sizes
from hulls.lines.skin import Array, Net, lengths, strips
from hulls.lines.types import DEFAULT, Form, HullType, filled_in

# How far a canoe may lie from the form of its type, by eye from drawings: no published source.
FULLNESS_OUT, BOTTOM_OUT = 0.05, 0.25  # of the plan's rectangle; of the exponent
AT_ONCE = 32  # hulls: what fits a processor's nearest memory


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
    assert known.rocker_m is not None
    assert known.stem is not None
    form = replace(hull_type.form, stem=known.stem)
    measures = Measures(
        length=np.array([known.length_m]),
        beam=np.array([known.beam_m]),
        depth=np.array([known.depth_m]),
        end_depth=np.array([known.end_depth_m]),
        rise=np.array([known.rocker_m]),
    )
    net = surface(measures, form, FINE)
    sizes = sizes_of_nets(measures, net, spread(measures, form))
    return one(sizes, girths_along(net, profile(known)))


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


def sizes_of_nets(measures: Measures, net: Net, spread_pct: Array, stretch: Array | float = 1.0) -> ManySizes:
    """Add up the nets of forward quarters.

    Parameters
    ----------
    measures : Measures
        Of these hulls.
    net : Net
        Shape (hulls, stations, points).
    spread_pct : array
        Of each hull.
    stretch : array or float
        By how much the skin between two stations is longer round than the net, shape (stations - 1,).
    """
    quarters, volumes = strips(net)
    quarters = quarters * stretch
    outside = 4 * np.sum(quarters, axis=-1)
    girth = 2 * lengths(net.x[:, 0], net.y[:, 0], net.z[:, 0])
    keel, stem = (net.x[:, :, 0], net.z[:, :, 0]), (net.x[:, -1], net.z[:, -1])
    return ManySizes(
        outside_area_m2=outside,
        inside_area_m2=outside - 4 * _within(net),
        side_area_m2=_side_area(net),
        greatest_girth_m=girth,
        sheer_length_m=2 * lengths(net.x[:, :, -1], net.y[:, :, -1], net.z[:, :, -1]),
        keel_length_m=2 * lengths(keel[0], np.zeros_like(keel[0]), keel[1]),
        stem_length_m=lengths(stem[0], np.zeros_like(stem[0]), stem[1]),
        length_m=measures.length,
        beam_m=measures.beam,
        volume_m3=2 * np.abs(np.sum(volumes, axis=-1)),
        spread_pct=spread_pct,
    )


def one(many: ManySizes, girths: Sequence[tuple[float, float]]) -> Sizes:
    """Return the first of many as one."""
    return Sizes(
        **{field.name: float(getattr(many, field.name)[0]) for field in fields(ManySizes)}, girths=tuple(girths)
    )


def _within(net: Net) -> Array:
    """Return by how much a quarter shrinks within the planking: thickness times the angle that its sections turn."""
    up, out = net.z[..., -1] - net.z[..., -2], net.y[..., -1] - net.y[..., -2]
    turned = np.where(up > 0, np.arctan2(up, out), np.pi / 2)
    along = np.diff(net.x[..., -1], axis=-1)
    return np.asarray(SKIN_M * np.sum((turned[:, 1:] + turned[:, :-1]) / 2 * along, axis=-1))


def _side_area(net: Net) -> Array:
    """Return the area within keel, stem and sheer, both halves, by the shoelace formula."""

    def rim(p: Array) -> Array:
        return np.concatenate([p[:, :, 0], p[:, -1, 1:], p[:, -2::-1, -1]], axis=1)

    x, z = rim(net.x), rim(net.z)
    return np.asarray(np.abs(np.sum(x * np.roll(z, -1, axis=1) - np.roll(x, -1, axis=1) * z, axis=1)))
