"""The take-off of many hulls at once: the same sums, done on arrays."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np

from hulls.lines import ManySizes, Sizes
from hulls.lines.skin import Array
from hulls.takeoff import canvas
from hulls.takeoff.duck import METRES_PER_INCH
from hulls.takeoff.material import Material
from hulls.takeoff.practice import USUAL, Practice
from hulls.takeoff.take_off import beside_canvas
from hulls.takeoff.terms import worth
from hulls.takeoff.work import Work


@dataclass(frozen=True, slots=True, kw_only=True)
class ManyTakeOffs:
    """What many hulls need; every array has one number a hull.

    Parameters
    ----------
    blank_length_m, width_needed_m : array
        Of the blank of canvas.
    roll_width_in : array
        The roll that is taken for each; not a number where none is wide enough.
    amounts : dict of str to array
        By product, in its unit; the canvas aside.
    """

    blank_length_m: Array
    width_needed_m: Array
    roll_width_in: Array
    amounts: dict[str, Array]


def take_off_many(
    sizes: ManySizes, work: Work, materials: Sequence[Material], practice: Practice = USUAL
) -> ManyTakeOffs:
    """Reckon what many hulls need that are to be worked on alike.

    Parameters
    ----------
    sizes : ManySizes
        Of the hulls.
    work, materials, practice
        As for `take_off`, the same for all of them.

    Returns
    -------
    ManyTakeOffs
        What `take_off` gives for each of them, without packs.
    """
    # Every sum is of plus, times and over alone, which arrays do as numbers do.
    alike = cast(Sizes, sizes)
    sums = canvas.blank(alike, practice)
    width_m = np.asarray(worth(sums.width))
    drafts, _unknown = beside_canvas(alike, work, materials, practice)
    amounts: dict[str, Array] = {}
    for draft in drafts:
        amount = np.broadcast_to(np.asarray(draft.amount), width_m.shape)
        amounts[draft.material.name] = amounts.get(draft.material.name, np.zeros_like(width_m)) + amount
    return ManyTakeOffs(
        blank_length_m=np.asarray(worth(sums.length)),
        width_needed_m=width_m,
        roll_width_in=_rolls(width_m, materials),
        amounts=amounts,
    )


def _rolls(width_m: Array, materials: Sequence[Material]) -> Array:
    taken = np.full_like(width_m, np.nan)
    for _material, width_in in canvas.rolls(materials):
        taken = np.where(np.isnan(taken) & (width_in * METRES_PER_INCH >= width_m), width_in, taken)
    return taken
