"""No sanding. Common practice, no published source."""

from stages.engine.rules import judge
from stages.engine.vocab import Severity
from tests.stages.engine.trade import a_coat, a_work, asking_to_sand, refusals

MINUTE = 1 / 60


def test_latex_filler_is_not_sanded() -> None:
    found = refusals(a_work(coats=[a_coat("latex_filler")]), asking_to_sand("skin"))
    assert set(found) == {"no_sanding"}
    assert "wet" in str(found["no_sanding"].clears)


def test_oil_based_filler_and_primer_are() -> None:
    assert refusals(a_work(coats=[a_coat("oil_filler")]), asking_to_sand("skin")) == {}
    assert refusals(a_work(coats=[a_coat("primer")]), asking_to_sand("skin")) == {}


def test_sanding_a_quick_sealer_is_a_waste_until_its_window_closes() -> None:
    found = judge(a_work(coats=[a_coat("sealer", hours_ago=72)]), asking_to_sand("brightwork"))
    assert [(f.rule, f.severity) for f in found] == [("no_sanding", Severity.CAUTIONS)]
    assert judge(a_work(coats=[a_coat("sealer", hours_ago=72 + MINUTE)]), asking_to_sand("brightwork")) == ()


def test_bare_wood_is_sanded_without_a_word() -> None:
    assert judge(a_work(), asking_to_sand("inside")) == ()
