"""The route that a new shop starts with. Its order and its steps are common practice, no published source."""

import pytest

from shop.setup.products import GENERAL, PRODUCTS
from stages.engine.vocab import FILLERS, Condition, Damage, Gate, ProductKind, Surface
from stages.setup.route import STAGES
from tests.stages.engine.trade import a_work, the_route

# The trade's order, as the shop's owner tells it; two places where shops differ.
BEGIN = ["survey", "estimate", "unfit", "uncanvas", "strip_inside", "strip_brightwork", "wash"]
REPAIRS = ["ribs", "planking", "stems", "inwales", "decks"]
INSIDE = {when: [f"seal_inside_{when}", f"varnish_inside_{when}"] for when in ("before", "after")}
SKIN = ["oil", "canvas", "preserve"]
PAINT = ["prime", "enamel"]
END = ["refit", "brightwork", "seats", "final", "hand_over"]
VARIANTS = [(filler, inside) for filler in ("latex", "oil") for inside in ("before", "after")]
HARMLESS = {"survey", "estimate", "seats", "final", "hand_over"}
EVERYTHING = dict.fromkeys(Damage, 1)


def plan(filler: str, inside: str, counts: dict[Damage, int]) -> list[str]:
    """The keys of the stages that belong to a hull."""
    work = a_work(
        choices={"filler": filler, "inside": inside}, counts=counts, old={Surface.BRIGHTWORK: Condition.FLAKING}
    )
    return [spec.key for spec in work.route.stages if work.open(spec)]


@pytest.mark.parametrize(("filler", "inside"), VARIANTS)
def test_a_boat_goes_through_the_trade_in_its_order(filler: str, inside: str) -> None:
    early, late = (INSIDE["before"], []) if inside == "before" else ([], INSIDE["after"])
    wanted = [*BEGIN, *REPAIRS, "fair", *early, *SKIN, f"fill_{filler}", *PAINT, *late, *END]
    assert plan(filler, inside, EVERYTHING) == wanted


@pytest.mark.parametrize(("filler", "inside"), VARIANTS)
def test_every_step_waits_for_those_of_the_trade_before_it(filler: str, inside: str) -> None:
    """Repairs go side by side, and so do the strippings; everything else stands in one line."""
    keys = plan(filler, inside, EVERYTHING)
    before = the_route().before
    side_by_side = [set(REPAIRS), {"uncanvas", "strip_inside", "strip_brightwork"}]
    for n, key in enumerate(keys):
        beside = next((group for group in side_by_side if key in group), set())
        assert before[key] >= set(keys[:n]) - beside


def test_a_sound_boat_skips_the_repairs() -> None:
    assert not set(REPAIRS) & set(plan("latex", "before", {}))
    assert plan("latex", "before", {Damage.RIBS: 2}).count("ribs") == 1


@pytest.mark.parametrize("filler", ["latex", "oil"])
def test_the_planned_coats_lie_on_each_other_as_the_rules_want_it(filler: str) -> None:
    """Primer comes between latex filler and enamel, so that the plan itself never meets the rule on bridges."""
    kinds = [the_route().by_key[key].product for key in ("canvas", "preserve", f"fill_{filler}", "prime", "enamel")]
    assert kinds[0] is ProductKind.CANVAS
    assert kinds[2] in FILLERS
    assert kinds[3:] == [ProductKind.PRIMER, ProductKind.ENAMEL]


def test_a_sealed_inside_is_varnished_over() -> None:
    for when, (seal, varnish) in INSIDE.items():
        assert the_route().by_key[seal].product is ProductKind.SEALER, when
        assert the_route().by_key[varnish].product is ProductKind.VARNISH
        assert seal in the_route().before[varnish]


def test_old_finish_comes_off_only_after_a_lead_test() -> None:
    stripping = {spec.key for spec in the_route().stages if spec.strips}
    assert stripping == {spec.key for spec in the_route().stages if Gate.LEAD in spec.gates}


def test_every_stage_that_always_makes_oily_rags_says_so() -> None:
    heating = {values["kind"] for values in PRODUCTS if values.get("self_heating")} - {"oil_filler"}
    for spec in the_route().stages:
        if spec.product in heating:
            assert Gate.RAGS in spec.gates, spec.key


@pytest.mark.parametrize("values", [*STAGES, *PRODUCTS], ids=lambda values: values.get("key") or values["name"])
def test_a_caution_ends_with_whose_word_governs(values: dict[str, str]) -> None:
    if values.get("caution"):
        assert values["caution"].endswith(GENERAL)
    else:
        assert values.get("kind") == "canvas" or values["key"] in HARMLESS


def test_every_stage_has_words_for_the_boats_owner_and_hours() -> None:
    for spec in the_route().stages:
        assert spec.owner_words.endswith("."), spec.key
        assert spec.hours(a_work(counts=EVERYTHING).scope) > 0, spec.key
