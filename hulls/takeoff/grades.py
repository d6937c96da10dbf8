"""P-grades of coated abrasives: how coarse a grit is."""

from hulls.takeoff.errors import TakeOffError

# Average grain, µm, by FEPA 43 and ISO 6344, as secondary tables give it. Other scales (a US 400 is about a P800) are
# not kept: a sheet without the P is of another scale.
GRAIN_UM = {
    24: 764.0,
    36: 538.0,
    40: 425.0,
    60: 269.0,
    80: 201.0,
    100: 162.0,
    120: 125.0,
    150: 100.0,
    180: 82.0,
    220: 68.0,
    240: 58.5,
    280: 52.2,
    320: 46.2,
    360: 40.5,
    400: 35.0,
    500: 30.2,
    600: 25.8,
    800: 21.8,
    1000: 18.3,
    1200: 15.3,
}
GRADES = tuple(GRAIN_UM)


def check_grade(grit: int) -> None:
    """Refuse a number that is no P-grade.

    Raises
    ------
    TakeOffError
        With the grades that there are.
    """
    if grit not in GRAIN_UM:
        raise TakeOffError("grit", f"P{grit} is no grade of the P scale: {', '.join(f'P{g}' for g in GRADES)}.")
