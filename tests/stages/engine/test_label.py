"""What a label says about drying."""

import math

import pytest

from stages.engine.errors import EngineError
from stages.engine.label import Dryness, Family, Label

FULL = {
    Dryness.TACK_FREE: 4.0,
    Dryness.SAND: 12.0,
    Dryness.RECOAT: 16.0,
    Dryness.TOPCOAT: 24.0,
    Dryness.HANDLE: 48.0,
}


@pytest.mark.parametrize(("dryness", "hours"), FULL.items())
def test_a_label_gives_the_hours_that_it_says(dryness: Dryness, hours: float) -> None:
    assert Label(family=Family.OXIDATIVE, hours=FULL).hours_to(dryness) == hours


# Common practice, no published source: what stands in where a label is silent.
@pytest.mark.parametrize(
    ("said", "dryness", "hours"),
    [
        ({Dryness.RECOAT: 16.0}, Dryness.SAND, 16.0),
        ({Dryness.RECOAT: 16.0}, Dryness.HANDLE, 16.0),
        ({Dryness.RECOAT: 16.0}, Dryness.TOPCOAT, 16.0),
        ({Dryness.RECOAT: 16.0, Dryness.SAND: 20.0}, Dryness.TOPCOAT, 20.0),
        ({Dryness.RECOAT: 16.0}, Dryness.TACK_FREE, None),
        ({Dryness.SAND: 16.0}, Dryness.RECOAT, None),
        ({}, Dryness.HANDLE, None),
    ],
)
def test_a_silent_label_falls_back(said: dict[Dryness, float], dryness: Dryness, hours: float | None) -> None:
    assert Label(family=Family.OXIDATIVE, hours=said).hours_to(dryness) == hours


def test_a_thick_film_needs_longer() -> None:
    assert Label(family=Family.OXIDATIVE, hours=FULL, film_factor=1.5).hours_to(Dryness.RECOAT) == 24.0


def test_labels_that_say_the_same_are_one_key() -> None:
    first = Label(family=Family.WATER, hours={Dryness.RECOAT: 4, Dryness.SAND: 3}, table=((23, 4), (10, 9)))
    second = Label(family=Family.WATER, hours={Dryness.SAND: 3, Dryness.RECOAT: 4}, table=((10, 9), (23, 4)))
    assert first == second
    assert len({first, second}) == 1


def test_labels_that_dry_alike_share_their_sums_whatever_their_hours() -> None:
    slow = Label(family=Family.OXIDATIVE, hours={Dryness.RECOAT: 24}, film_factor=2.0)
    quick = Label(family=Family.OXIDATIVE, hours={Dryness.RECOAT: 4}, window_h=48)
    assert slow.cure_key == quick.cure_key
    assert slow.cure_key != Label(family=Family.OXIDATIVE, hours={}, lowest_c=8.0).cure_key


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"hours": {Dryness.RECOAT: 0.0}}, "hours"),
        ({"hours": {Dryness.RECOAT: -1.0}}, "hours"),
        ({"hours": {Dryness.RECOAT: math.nan}}, "hours"),
        ({"hours": {Dryness.RECOAT: math.inf}}, "hours"),
        ({"q10": 0.0}, "q10"),
        ({"activation_kj_mol": -50.0}, "activation_kj_mol"),
        ({"film_factor": 0.0}, "film_factor"),
        ({"lowest_c": 24.0}, "reference_c"),
        ({"reference_c": math.nan}, "reference_c"),
        ({"reference_rh_pct": 100.0}, "reference_rh_pct"),
        ({"table": ((10.0, 0.0),)}, "table"),
        ({"table": ((80.0, 3.0),)}, "table"),
        ({"table": ((10.0, 3.0), (10.0, 4.0))}, "table"),
        ({"window_h": 0.0}, "window_h"),
        ({"window_h": 16.0}, "window_h"),
    ],
)
def test_a_label_that_cannot_be_is_refused(changed: dict[str, object], field: str) -> None:
    with pytest.raises(EngineError) as refused:
        Label(**{"family": Family.OXIDATIVE, "hours": FULL, **changed})  # type: ignore[arg-type]
    assert refused.value.field == field


def test_a_window_just_after_recoat_is_taken() -> None:
    assert Label(family=Family.OXIDATIVE, hours=FULL, window_h=16.1).window_h == 16.1
