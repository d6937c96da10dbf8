import pytest

from stages.engine.errors import EngineError
from stages.engine.route import Scope, When
from stages.engine.vocab import Condition, Damage, ProductKind, Surface
from tests.stages.engine.trade import a_route, a_stage


@pytest.mark.parametrize(
    ("text", "scope", "holds"),
    [
        ("", Scope(), True),
        ("count:ribs", Scope(), False),
        ("count:ribs", Scope(counts={Damage.RIBS: 0}), False),
        ("count:ribs", Scope(counts={Damage.RIBS: 1}), True),
        ("choice:filler=oil", Scope(choices={"filler": "latex"}), False),
        ("choice:filler=oil", Scope(choices={"filler": "oil"}), True),
        ("condition:inside=flaking", Scope(conditions={Surface.INSIDE: Condition.SOUND}), False),
        ("condition:inside=flaking", Scope(conditions={Surface.INSIDE: Condition.FLAKING}), True),
    ],
)
def test_a_condition_narrows_the_route(text: str, scope: Scope, holds: bool) -> None:
    assert When.parse(text).holds(scope) is holds


@pytest.mark.parametrize(
    "text", ["ribs", "count:knees", "count:ribs=3", "choice:filler", "condition:keel=sound", "condition:inside=old"]
)
def test_what_is_no_condition_is_refused(text: str) -> None:
    with pytest.raises(EngineError, match="is not a condition"):
        When.parse(text)


def test_hours_are_a_fixed_part_a_part_for_each_piece_and_a_part_for_the_area() -> None:
    ribs = a_stage("ribs", hours_fixed=0.5, hours_each=1.5, hours_per_m2=2.0, counted=Damage.RIBS)
    assert ribs.hours(Scope(counts={Damage.RIBS: 4}, area_m2=5.0)) == 0.5 + 6.0 + 10.0
    assert ribs.hours(Scope()) == 0.5


def test_what_comes_before_a_stage_is_known_also_by_way_of_others() -> None:
    route = a_route(a_stage("c", after=("b",)), a_stage("b", after=("a",)), a_stage("a"))
    assert route.before == {"a": frozenset(), "b": {"a"}, "c": {"a", "b"}}


def test_a_ring_of_stages_is_refused() -> None:
    with pytest.raises(EngineError, match="in a ring"):
        a_route(a_stage("a", after=("b",)), a_stage("b", after=("a",)))


def test_a_stage_that_waits_for_an_unknown_one_is_refused() -> None:
    with pytest.raises(EngineError, match="which is not in the route"):
        a_route(a_stage("a", after=("b",)))


def test_two_stages_of_one_key_are_refused() -> None:
    with pytest.raises(EngineError, match="the same key"):
        a_route(a_stage("a"), a_stage("a"))


@pytest.mark.parametrize("bad", [{"coats": -1}, {"hours_fixed": -0.1}, {"hours_each": -1.0}, {"hours_per_m2": -1.0}])
def test_less_than_none_is_refused(bad: dict[str, float]) -> None:
    with pytest.raises(EngineError, match="cannot be negative"):
        a_stage("a", **bad)


def test_coats_must_be_of_something_somewhere() -> None:
    assert a_stage("a", coats=1, product=ProductKind.OIL, surface=Surface.PLANKING).coats == 1
    with pytest.raises(EngineError, match="of which kind of product and where"):
        a_stage("a", coats=1, product=ProductKind.OIL)
    with pytest.raises(EngineError, match="of which kind of product and where"):
        a_stage("a", coats=1, surface=Surface.SKIN)
