"""Canoes of any size that passes the limits."""

from hypothesis import strategies as st

from hulls.lines import Principal, StemShape

WITHIN = 1 - 1e-9  # of a limit, so that a hull made larger still keeps it


@st.composite
def canoes(draw: st.DrawFn, *, rocker: bool = True) -> Principal:
    length = draw(st.floats(2.4, 10.7))
    depth = draw(st.floats(0.15, min(0.6, length / 4 * WITHIN)))
    beam = draw(st.floats(max(0.5, depth * 1.01), min(2.0, length * 0.49)))
    end_depth = draw(st.floats(max(depth, 0.2), max(depth, 0.2, min(1.6, length / 4) * WITHIN)))
    rise = draw(st.none() | st.floats(0, depth / 4)) if rocker else 0.0
    stem = draw(st.sampled_from(StemShape))
    return Principal(length_m=length, beam_m=beam, depth_m=depth, end_depth_m=end_depth, rocker_m=rise, stem=stem)
