import math

import pytest

from hulls.lines import LinesError, Principal

FOOT = 0.3048  # exact: NIST SP 811 (2008), appendix B.6

SIXTEEN_FOOTER = {"length_m": 16 * FOOT, "beam_m": 0.86, "depth_m": 0.31, "end_depth_m": 0.58}


def canoe(**changes: float) -> Principal:
    return Principal(**(SIXTEEN_FOOTER | changes))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("length_m", 8 * FOOT),
        ("length_m", 35 * FOOT),
        ("length_m", 2.4),
        ("length_m", 10.7),
        ("beam_m", 0.5),
        ("depth_m", 0.15),
        ("end_depth_m", 0.31),
        ("end_depth_m", 16 * FOOT / 4),
        ("rocker_m", 0.0),
        ("rocker_m", 0.31 / 4),
    ],
)
def test_a_dimension_at_its_limit_is_believed(field: str, value: float) -> None:
    assert getattr(canoe(**{field: value}), field) == value


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("length_m", 2 * FOOT),
        ("length_m", 60 * FOOT),
        ("length_m", 2.39),
        ("length_m", 10.71),
        ("beam_m", 0.49),
        ("beam_m", 2.01),
        ("beam_m", 16 * FOOT / 2),
        ("depth_m", 0.14),
        ("depth_m", 0.86),
        ("end_depth_m", 0.30),
        ("end_depth_m", 1.61),
        ("end_depth_m", 16 * FOOT / 4 + 0.01),
        ("rocker_m", -0.01),
        ("rocker_m", 0.08),
        ("length_m", math.nan),
        ("beam_m", math.inf),
        ("depth_m", "0.31"),
        ("depth_m", True),
        ("length_m", None),
        ("stem", "recurved and plumb"),
    ],
)
def test_a_dimension_that_no_canoe_has_is_refused_by_its_field(field: str, value: float) -> None:
    with pytest.raises(LinesError) as caught:
        canoe(**{field: value})

    assert caught.value.field == field
    assert caught.value.message.endswith(".")


def test_a_two_foot_canoe_is_told_the_limits_and_what_it_says_in_both_units() -> None:
    with pytest.raises(LinesError, match=r"2\.4 m \(8 ft\) and 10\.7 m \(35 ft\) long; this says 0\.61 m \(2 ft\)\."):
        canoe(length_m=2 * FOOT)


def test_a_beam_wider_than_the_length_is_told_so() -> None:
    with pytest.raises(LinesError, match="less than half the length"):
        canoe(length_m=2.5, beam_m=1.9)


def test_a_rocker_that_was_not_measured_is_slight() -> None:
    assert 0 < canoe().keel_rise_m < 0.05
    assert canoe(rocker_m=0).keel_rise_m == 0
