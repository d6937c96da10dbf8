from hypothesis import given
from hypothesis import strategies as st

from hulls.intake.dimensions import STAND_INS, wrong_dimensions
from hulls.lines import LinesError, Principal
from hulls.lines.principal import LIMITS

SOUND = {"length_m": 4.88, "beam_m": 0.88, "depth_m": 0.3, "end_depth_m": 0.61}


def test_a_sound_hull_has_nothing_wrong() -> None:
    assert wrong_dimensions(SOUND) == {}


def test_all_wrong_dimensions_are_named_and_not_the_first_only() -> None:
    assert set(wrong_dimensions({"length_m": 0.6, "beam_m": 9.0, "depth_m": 9.0, "end_depth_m": 9.0})) == set(SOUND)


def test_a_beam_wider_than_the_length_is_wrong() -> None:
    assert set(wrong_dimensions(SOUND | {"length_m": 2.5, "beam_m": 1.9})) == {"beam_m"}


def test_ends_lower_than_the_middle_are_wrong() -> None:
    assert set(wrong_dimensions(SOUND | {"end_depth_m": 0.29})) == {"end_depth_m"}


def test_a_missing_dimension_does_not_hide_what_is_wrong_with_another() -> None:
    assert set(wrong_dimensions({"beam_m": 9.0, "end_depth_m": 9.0})) == {"beam_m", "end_depth_m"}


@given(
    st.fixed_dictionaries(
        {name: st.floats(LIMITS[name].low_m / 3, LIMITS[name].high_m * 1.5, exclude_min=True) for name in STAND_INS}
    )
)
def test_something_is_wrong_just_when_the_lines_refuse_the_hull(measured: dict[str, float]) -> None:
    wrong = wrong_dimensions(measured)
    try:
        Principal(**measured)  # type: ignore[arg-type]
    except LinesError as problem:
        assert problem.field in wrong  # noqa: PT017
    else:
        assert wrong == {}


@given(st.fixed_dictionaries({name: st.floats(LIMITS[name].low_m, LIMITS[name].high_m) for name in STAND_INS}))
def test_stand_ins_make_no_sound_dimension_wrong(measured: dict[str, float]) -> None:
    for name in ("length_m", "beam_m", "depth_m"):
        assert name not in wrong_dimensions({name: measured[name]})
