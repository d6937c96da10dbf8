import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulls.skin_section import LayerKind
from hulls.skins import SkinKind, mix, shade, skin_after, skin_colour

colours = st.from_regex(r"#[0-9a-f]{6}", fullmatch=True)


@given(colours, colours)
def test_nothing_mixed_in_leaves_a_colour_and_all_of_it_replaces_it(colour: str, other: str) -> None:
    assert (mix(colour, other, 0), mix(colour, other, 1)) == (colour, other)


@given(colours)
def test_a_shade_is_never_lighter_in_any_channel(colour: str) -> None:
    assert all(int(shade(colour)[i : i + 2], 16) <= int(colour[i : i + 2], 16) for i in (1, 3, 5))


def test_half_of_white_in_black_is_middle_grey() -> None:
    assert mix("#000000", "#ffffff", 0.5) == "#808080"


def test_enamel_takes_the_hulls_colour_and_filler_does_not() -> None:
    assert skin_colour(SkinKind.ENAMEL, "#A03A2C") == "#a03a2c"
    assert skin_colour(SkinKind.LATEX_FILLER, "#a03a2c") == skin_colour(SkinKind.LATEX_FILLER)


def test_a_hull_without_a_coat_is_bare_and_preservative_leaves_it_treated() -> None:
    assert skin_after(None) is SkinKind.BARE
    assert skin_after("preservative") is SkinKind.TREATED


@pytest.mark.parametrize("kind", sorted(set(LayerKind) - {LayerKind.RIBS, LayerKind.PLANKING}))
def test_every_product_that_has_a_layer_has_a_skin(kind: LayerKind) -> None:
    assert skin_after(kind) in SkinKind


def test_old_paint_has_the_hulls_colour_weathered() -> None:
    assert skin_colour(SkinKind.OLD_PAINT, "#a03a2c") not in ("#a03a2c", skin_colour(SkinKind.OLD_PAINT))


@pytest.mark.parametrize("colour", ["red", "#fff", "#12345g", '#000000" onload="x', ""])
def test_what_is_no_colour_is_refused(colour: str) -> None:
    with pytest.raises(ValueError, match="#rrggbb"):
        skin_colour(SkinKind.ENAMEL, colour)
