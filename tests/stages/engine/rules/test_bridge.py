"""Bridge. Common practice, no published source."""

import pytest

from tests.stages.engine.trade import a_coat, a_work, asking_to_coat, refusals


def test_enamel_straight_on_latex_filler_is_refused() -> None:
    found = refusals(a_work(coats=[a_coat("latex_filler")]), asking_to_coat("enamel"))
    assert set(found) == {"bridge"}
    assert str(found["bridge"].clears) == "Put a high-build primer between them."


def test_with_primer_between_it_is_allowed() -> None:
    coats = [a_coat("latex_filler"), a_coat("primer", sanded=True)]
    assert refusals(a_work(coats=coats), asking_to_coat("enamel")) == {}


def test_primer_itself_goes_on_latex_filler() -> None:
    assert refusals(a_work(coats=[a_coat("latex_filler")]), asking_to_coat("primer")) == {}


@pytest.mark.parametrize("upper", ["enamel", "varnish", "oil_filler"])
def test_nothing_else_that_is_oil_based_does(upper: str) -> None:
    found = refusals(a_work(coats=[a_coat("latex_filler")]), asking_to_coat(upper, on="skin"))
    assert "bridge" in found


def test_oil_based_filler_needs_no_bridge() -> None:
    assert refusals(a_work(coats=[a_coat("oil_filler", sanded=True)]), asking_to_coat("enamel")) == {}
