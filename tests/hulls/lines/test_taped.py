"""Hulls of known shape, taped at stations as with a tape: the more of them, the nearer the truth."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulls.lines import (
    DEFAULT,
    HULL_TYPES,
    Form,
    HullType,
    LinesError,
    Principal,
    StemShape,
    Taped,
    filled_in,
    measure,
    measure_taped,
    profile,
)
from hulls.lines.cuts import cut, girth
from hulls.lines.form import Grid, Measures, surface
from tests.hulls.lines.strategies import canoes

CANOE = Principal(length_m=4.88, beam_m=0.88, depth_m=0.31, end_depth_m=0.6)
OTHERS = [
    Form(fullness=0.745, bottom=3.1, tumblehome=0.03, rocker=0.007, stem=StemShape.RECURVED),
    Form(fullness=0.66, bottom=2.0, tumblehome=0.06, rocker=0.007, stem=StemShape.RECURVED),
]


def taped(true: HullType, parts: int, *, girths: bool = True, breadths: bool = True) -> list[Taped]:
    """What a tape says on a hull of another form than its type's, between so many parts of its length."""
    known = filled_in(CANOE, true)
    net = surface(Measures.of(known), true.form, Grid(stations=40, round_points=24, side_points=8))
    found = []
    for n in range(1, parts):
        x_m = CANOE.length_m * n / parts
        curve = cut(net, profile(known), x_m - CANOE.length_m / 2)
        breadth = max(y for y, _ in curve)
        found.append(
            Taped(x_m=x_m, girth_m=girth(curve) if girths else None, half_breadth_m=breadth if breadths else None)
        )
    return found


@pytest.mark.parametrize("form", OTHERS)
def test_each_way_is_more_exact_than_the_one_before_and_says_so(form: Form) -> None:
    true = replace(DEFAULT, form=form)
    truth = measure(CANOE, true).outside_area_m2

    ways = [measure(CANOE), measure_taped(CANOE, taped(true, 4)), measure_taped(CANOE, taped(true, 10))]

    errors = [abs(way.outside_area_m2 / truth - 1) for way in ways]
    spreads = [way.spread_pct for way in ways]
    assert errors[0] > errors[1] > errors[2] or max(errors[1:]) < 5e-3
    assert spreads[0] > spreads[1] > spreads[2]
    assert all(100 * error <= spread for error, spread in zip(errors, spreads, strict=True))


@pytest.mark.parametrize("form", OTHERS)
@pytest.mark.parametrize("parts", [4, 6, 10])
def test_girths_alone_bring_the_area_within_one_per_cent(form: Form, parts: int) -> None:
    true = replace(DEFAULT, form=form)

    found = measure_taped(CANOE, taped(true, parts, breadths=False))

    assert found.outside_area_m2 == pytest.approx(measure(CANOE, true).outside_area_m2, rel=1e-2)


def test_a_hull_that_is_of_its_type_is_left_as_it_was() -> None:
    found, plain = measure_taped(CANOE, taped(DEFAULT, 8)), measure(CANOE)

    assert found.outside_area_m2 == pytest.approx(plain.outside_area_m2, rel=2e-3)
    assert found.volume_m3 == pytest.approx(plain.volume_m3, rel=2e-3)
    assert found.greatest_girth_m == pytest.approx(plain.greatest_girth_m, rel=2e-3)


@given(canoes(), st.sampled_from(list(HULL_TYPES.values())), st.floats(1.01, 1.2))
def test_a_longer_girth_is_more_skin(hull: Principal, kind: HullType, times: float) -> None:
    middle = hull.length_m / 2
    plain = measure(hull, kind)
    girth_m = plain.girths[6][1]

    same, more = (measure_taped(hull, [Taped(x_m=middle, girth_m=girth_m * by)], kind) for by in (1, times))

    assert same.outside_area_m2 == pytest.approx(plain.outside_area_m2)
    assert more.outside_area_m2 == pytest.approx(plain.outside_area_m2 * times)


@given(st.permutations(taped(replace(DEFAULT, form=OTHERS[0]), 7)))
def test_neither_order_nor_end_matters(stations: list[Taped]) -> None:
    turned = [replace(station, x_m=CANOE.length_m - station.x_m) for station in stations]
    lopsided = stations[:3]

    assert measure_taped(CANOE, turned).outside_area_m2 == pytest.approx(measure_taped(CANOE, stations).outside_area_m2)
    assert measure_taped(CANOE, lopsided[::-1]) == measure_taped(CANOE, lopsided)


def test_a_half_that_was_not_taped_is_like_the_other() -> None:
    stations = taped(replace(DEFAULT, form=OTHERS[0]), 10)

    one_half = measure_taped(CANOE, [station for station in stations if station.x_m > CANOE.length_m / 2])

    assert one_half.outside_area_m2 == pytest.approx(measure_taped(CANOE, stations).outside_area_m2, rel=5e-3)


def test_a_girth_smaller_than_the_beam_is_refused() -> None:
    assert Taped(x_m=2, girth_m=0.8001, half_breadth_m=0.4)
    with pytest.raises(LinesError, match=r"The girth, 0\.8 m \(2\.62 ft\), is smaller than the beam") as caught:
        Taped(x_m=2, girth_m=0.8, half_breadth_m=0.4)

    assert caught.value.field == "girth_m"


@pytest.mark.parametrize(
    ("stations", "field", "words"),
    [
        ([], "x_m", "No station"),
        ([{"x_m": 4.88, "girth_m": 0.5}], "x_m", "lies beyond the hull"),
        ([{"x_m": 2, "girth_m": 1.2}, {"x_m": 2, "girth_m": 1.3}], "x_m", "Two stations"),
        ([{"x_m": 2.4, "half_breadth_m": 0.46}], "half_breadth_m", "more than the beam"),
        ([{"x_m": 2.4, "girth_m": 49.5}], "girth_m", "Look at the unit"),
        ([{"x_m": 2.4, "half_breadth_m": 0.1}], "half_breadth_m", "Look at the unit"),
        ([{"x_m": 0.001, "girth_m": 0.2}], "girth_m", "Look at the unit"),
    ],
)
def test_stations_that_cannot_be_on_the_hull_are_refused_by_their_field(
    stations: list[dict[str, float]], field: str, words: str
) -> None:
    with pytest.raises(LinesError, match=words) as caught:
        measure_taped(CANOE, [Taped(**station) for station in stations])

    assert caught.value.field == field


@pytest.mark.parametrize(
    "taped_there",
    [{"x_m": 1.0}, {"x_m": 0.0, "girth_m": 1.0}, {"x_m": 1.0, "girth_m": math.nan}, {"x_m": 1.0, "girth_m": -1.0}],
)
def test_a_station_without_a_length_is_refused(taped_there: dict[str, float]) -> None:
    with pytest.raises(LinesError):
        Taped(**taped_there)
