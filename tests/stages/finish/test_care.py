"""Care for the very finish: what is on the hull decides what is said, and the label always has the last word.

All of it is common practice, no published source.
"""

import pytest

from stages.engine.vocab import ProductKind, Surface
from stages.finish import care

CANVAS_STACK = (ProductKind.CANVAS, ProductKind.PRESERVATIVE, ProductKind.LATEX_FILLER, ProductKind.PRIMER)
WHOLE = {
    Surface.PLANKING: (ProductKind.OIL,),
    Surface.SKIN: (*CANVAS_STACK, ProductKind.ENAMEL),
    Surface.INSIDE: (ProductKind.SEALER, ProductKind.VARNISH),
}


def test_a_whole_finish_is_told_of_layer_by_layer() -> None:
    told = care.care_of(WHOLE, lead=False)
    for text in (care.HARDENS, care.CANVAS, care.PRESERVATIVE, care.ENAMEL, care.VARNISH, care.SEALER):
        assert text in told
    assert care.FILLER[ProductKind.LATEX_FILLER] in told
    assert care.FILLER[ProductKind.OIL_FILLER] not in told
    assert care.OIL not in told  # it lies under the canvas


def test_oiled_wood_in_sight_comes_with_the_caution_about_rags() -> None:
    told = care.care_of({Surface.BRIGHTWORK: (ProductKind.OIL,)}, lead=False)
    assert care.OIL in told
    assert "take fire" in care.OIL
    assert care.VARNISH not in told


def test_old_lead_on_the_boat_is_said_first() -> None:
    assert care.care_of(WHOLE, lead=True)[0] == care.LEAD
    assert care.LEAD not in care.care_of(WHOLE, lead=False)


def test_whoever_sands_is_always_warned_and_sent_to_the_label() -> None:
    assert "label" in care.care_of({}, lead=False)[-1]


def test_it_is_looked_at_again_after_what_wears_first() -> None:
    months = [look.months for look in care.looks_at(WHOLE)]
    assert months == sorted(months) == [6, 12, 24]
    assert care.looks_at({}) == ()


@pytest.mark.parametrize("kind", [ProductKind.ENAMEL, ProductKind.VARNISH, ProductKind.SEALER])
def test_every_film_is_given_its_weeks_to_harden(kind: ProductKind) -> None:
    surface = Surface.SKIN if kind is ProductKind.ENAMEL else Surface.INSIDE
    assert care.HARDENS in care.care_of({surface: (kind,)}, lead=False)
