from hypothesis import given
from hypothesis import strategies as st

from hulls.skin_section import LEADER_FROM, SHEET, Layer, LayerKind, draw_section

layers = st.lists(
    st.builds(Layer, kind=st.sampled_from(LayerKind), name=st.text(max_size=9), share=st.floats(-0.5, 1.5)), max_size=14
)


@given(layers)
def test_the_bands_fill_the_sheet_without_gap_or_overlap(skin: list[Layer]) -> None:
    edge = 0
    for band in draw_section(skin):
        assert band.top == edge
        edge += band.height
    assert edge == (SHEET if skin else 0)


@given(layers)
def test_the_outermost_layer_lies_on_top(skin: list[Layer]) -> None:
    assert [band.layer for band in draw_section(skin)] == skin[::-1]


@given(layers)
def test_what_is_done_and_what_is_left_make_the_whole_width(skin: list[Layer]) -> None:
    for band in draw_section(skin):
        assert band.done + band.rest == LEADER_FROM
        assert 0 <= band.done <= LEADER_FROM


def test_planking_is_drawn_thicker_than_the_oil_on_it() -> None:
    oil, planking = draw_section(
        [Layer(kind=LayerKind.PLANKING, name="Planking"), Layer(kind=LayerKind.OIL, name="Linseed oil")]
    )

    assert planking.height > 2 * oil.height


def test_each_layer_is_planned_or_now_or_done() -> None:
    coats = [Layer(kind=LayerKind.ENAMEL, name="Enamel", share=share) for share in (1, 0.62, 0)]

    planned, now, done = draw_section(coats)

    assert [(b.planned, b.now) for b in (planned, now, done)] == [(True, False), (False, True), (False, False)]


def test_enamel_has_the_colour_that_was_chosen() -> None:
    (band,) = draw_section([Layer(kind=LayerKind.ENAMEL, name="Enamel", colour="#a03a2c")])

    assert band.fill == "#a03a2c"
