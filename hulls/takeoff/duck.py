"""Numbered cotton duck: its weight from its number."""

from hulls.takeoff.errors import TakeOffError

# A piece of 36 by 22 in weighs 19 oz less the number, the rule of the US Commerce Department's standard for numbered
# cotton duck. Numbers 7, 9 and 11 are no longer made.
NUMBERS = (1, 2, 3, 4, 5, 6, 8, 10, 12)
FOR_CANOES = (4, 5, 6, 8, 10, 12)
OZ_LESS_NUMBER = 19
PIECE_M2 = 36 * 22 * 0.0254**2
KG_PER_OZ = 0.028349523125  # exact, avoirdupois
WIDTHS_IN = (36, 48, 60, 72, 84, 96, 120)  # as rolls are sold: common practice, no published source
METRES_PER_INCH = 0.0254  # exact


def duck_kg_m2(number: int) -> float:
    """Give the weight of a numbered duck.

    Parameters
    ----------
    number : int
        Number of the duck; the higher, the lighter.

    Returns
    -------
    float
        Weight, kg/m², of the loom-state cloth.

    Raises
    ------
    TakeOffError
        No duck has this number.

    Notes
    -----
    (19 - n) oz a piece of 36 by 22 in: (19 - n) 36 / 22 oz/yd².
    """
    if number not in NUMBERS:
        raise TakeOffError("number", f"No duck of the number {number} is made; there are {numbers_in_words()}.")
    return (OZ_LESS_NUMBER - number) * KG_PER_OZ / PIECE_M2


def numbers_in_words() -> str:
    """Name the numbers that are made."""
    return ", ".join(str(number) for number in NUMBERS)
