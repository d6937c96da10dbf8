"""Many take-offs at once give what each gives alone."""

import numpy as np
import pytest

from hulls.lines import Principal, measure, sizes_many
from hulls.takeoff import Coats, Work, take_off, take_off_many
from tests.hulls.takeoff.materials import ALL

LENGTHS, BEAMS, DEPTHS, ENDS = np.array(
    [(4.2, 0.84, 0.3, 0.55), (4.9, 0.88, 0.32, 0.6), (5.5, 0.95, 0.34, 0.62), (6.1, 1.15, 0.45, 0.7)]
).T
WORK = Work(
    coats=(Coats(surface="skin", kind="latex_filler", coats=3), Coats(surface="skin", kind="enamel", coats=3)),
    canvas=True,
    ribs=3,
    outwales=2,
)


def test_many_at_once_are_what_each_is_alone() -> None:
    many = take_off_many(sizes_many(LENGTHS, BEAMS, DEPTHS, ENDS), WORK, ALL)
    for n, (length, beam, depth, end) in enumerate(zip(LENGTHS, BEAMS, DEPTHS, ENDS, strict=True)):
        hull = Principal(length_m=length, beam_m=beam, depth_m=depth, end_depth_m=end)
        alone = take_off(measure(hull), WORK, ALL)
        assert alone.canvas is not None
        assert many.blank_length_m[n] == pytest.approx(alone.canvas.blank_length_m)
        assert many.width_needed_m[n] == pytest.approx(alone.canvas.width_needed_m)
        width = alone.canvas.roll_width_in
        assert many.roll_width_in[n] == width if width else np.isnan(many.roll_width_in[n])
        assert {item.product for item in alone.items if item.kind != "canvas"} == set(many.amounts)
        for item in alone.items:
            if item.kind != "canvas":
                assert many.amounts[item.product][n] == pytest.approx(item.amount)
