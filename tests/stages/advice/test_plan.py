"""The shop's route, narrowed to what somebody does to their own boat."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stages.advice.answers import MOST_PIECES, Answers, Finish, Outside
from stages.advice.plan import in_order, plan
from stages.engine.errors import EngineError
from stages.engine.route import Route, StageSpec
from stages.engine.vocab import Damage, ProductKind
from tests.stages.advice.boat import a_job, the_products, the_route

CANVAS_WORK = "unfit uncanvas wash fair oil canvas preserve"
answers = st.builds(
    Answers,
    outside=st.sampled_from(Outside),
    inside=st.sampled_from(Finish),
    brightwork=st.sampled_from(Finish),
    counts=st.dictionaries(st.sampled_from(Damage), st.integers(0, 5)),
)


def keys(**said: object) -> list[str]:
    return [step.spec.key for step in a_job(**said).steps]


LEFT = {"inside": Finish.LEAVE, "brightwork": Finish.LEAVE}


@pytest.mark.parametrize(
    ("said", "steps"),
    [
        ({"outside": Outside.LEAVE, **LEFT}, ""),
        ({"outside": Outside.LATEX, **LEFT}, f"survey {CANVAS_WORK} fill_latex prime enamel refit final"),
        ({"outside": Outside.OIL, **LEFT}, f"survey {CANVAS_WORK} fill_oil prime enamel refit final"),
        ({"outside": Outside.PAINT, **LEFT}, "survey enamel final"),
        (
            {"outside": Outside.LEAVE, "inside": Finish.VARNISH, "brightwork": Finish.VARNISH},
            "survey varnish_inside_before brightwork final",
        ),
        (
            {"outside": Outside.LEAVE, "inside": Finish.STRIP, "brightwork": Finish.STRIP},
            "survey strip_inside strip_brightwork wash seal_inside_before varnish_inside_before brightwork final",
        ),
        ({"outside": Outside.LEAVE, **LEFT, "counts": {Damage.SEATS: 2}}, "survey seats final"),
        ({"outside": Outside.LEAVE, **LEFT, "counts": {Damage.OUTWALES: 1}}, "survey unfit refit final"),
        (
            {"outside": Outside.LEAVE, **LEFT, "counts": {Damage.RIBS: 3, Damage.PLANKS: 0}},
            "survey ribs final",
        ),
    ],
)
def test_only_what_was_asked_for_stays_of_the_route(said: dict[str, object], steps: str) -> None:
    assert keys(**said) == steps.split()


def test_what_is_between_the_shop_and_a_boat_s_owner_is_nobody_s_step_at_home() -> None:
    everything = keys(
        outside=Outside.LATEX, inside=Finish.STRIP, brightwork=Finish.STRIP, counts=dict.fromkeys(Damage, 1)
    )
    route = {spec.key for spec in the_route().stages}
    other_choice = {"fill_oil", "seal_inside_after", "varnish_inside_after"}
    assert route - set(everything) - other_choice == {"estimate", "hand_over"}


@given(said=answers)
def test_every_step_comes_after_those_that_it_waits_for(said: Answers) -> None:
    route = the_route()
    steps = [step.spec.key for step in plan(route, said, the_products())]
    for place, key in enumerate(steps):
        assert not set(steps[place + 1 :]) & route.before[key], key


def test_a_stage_that_waits_for_one_further_down_the_list_goes_after_it() -> None:
    late = StageSpec(key="late", name="Late", position=2)
    early = StageSpec(key="early", name="Early", position=1, after=("late",))
    last = StageSpec(key="last", name="Last", position=3)
    route = Route(name="R", version=1, stages=(early, last, late))
    assert [spec.key for spec in in_order(route)] == ["late", "early", "last"]


def test_the_next_coat_on_a_surface_is_known_across_the_steps_between() -> None:
    steps = {step.spec.key: step for step in a_job(outside=Outside.LATEX).steps}
    following = {key: step.next_coat.key for key, step in steps.items() if step.next_coat}
    assert following["canvas"] == "preserve"
    assert following["fill_latex"] == "prime"
    assert following["seal_inside_before"] == "varnish_inside_before"
    assert "enamel" not in following
    assert "oil" not in following  # the canvas goes over it and is no coat of the planking


def test_a_kind_that_the_shop_has_no_product_of_leaves_the_step_without_one() -> None:
    products = the_products()
    del products[ProductKind.PRIMER]
    said = Answers(outside=Outside.LATEX)
    prime = next(step for step in plan(the_route(), said, products) if step.spec.key == "prime")
    assert prime.product is None


@pytest.mark.parametrize("count", [0, 1, MOST_PIECES])
def test_a_count_that_a_boat_may_have_is_taken(count: int) -> None:
    assert Answers(counts={Damage.RIBS: count}).count(Damage.RIBS) == count


@pytest.mark.parametrize("count", [-1, MOST_PIECES + 1])
def test_a_count_that_no_boat_has_is_refused_by_its_name(count: int) -> None:
    with pytest.raises(EngineError) as refused:
        Answers(counts={Damage.RIBS: count})
    assert refused.value.field == "ribs"
