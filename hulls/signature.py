"""A signature as the strokes of a finger: read strictly, and drawn by us.

A phone sends nothing but numbers: strokes apart by ``;``, points by a blank, each ``x,y`` in a box of 1000 by 360.
Whatever is shown of a signature is made from those numbers here; no drawing that was sent is ever served.
"""

import math
import re
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from hulls.wording import gettext_noop

WIDTH: Final = 1000
HEIGHT: Final = 360
LONGEST_TEXT: Final = 16_000  # a signature of ten seconds, at the spacing that the phone keeps, is a third of it
LEAST_INK: Final = 120  # length of the line, in parts of the box: less is a slip of the finger

_POINT = r"\d{1,4},\d{1,3}"
_STROKE = rf"{_POINT}(?: {_POINT})*"
_TEXT = re.compile(rf"{_STROKE}(?:;{_STROKE})*", re.ASCII)

Point = tuple[int, int]


class SignatureError(ValueError):
    """What was sent is no signature.

    Parameters
    ----------
    message : str
        One sentence for the person who sent it.
    """

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


NO_DRAWING: Final = gettext_noop("The drawing did not arrive whole. Sign once more.")
TOO_LONG: Final = gettext_noop("The signature has too many strokes. Start again, and sign once.")
TOO_SHORT: Final = gettext_noop("That is a dot or a slip of the finger. Sign once more.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Signature:
    """The strokes of a signature, each a run of points in the box, from its upper left corner.

    Raises
    ------
    SignatureError
        When a point lies outside the box, or there is less ink than a name takes.
    """

    strokes: tuple[tuple[Point, ...], ...]

    def __post_init__(self) -> None:
        points = [point for stroke in self.strokes for point in stroke]
        if not all(0 <= x <= WIDTH and 0 <= y <= HEIGHT for x, y in points):
            raise SignatureError(NO_DRAWING)
        if self.ink < LEAST_INK:
            raise SignatureError(TOO_SHORT)

    @property
    def ink(self) -> float:
        """Length of all strokes, in parts of the box."""
        return sum(math.dist(a, b) for stroke in self.strokes for a, b in pairwise(stroke))

    @property
    def text(self) -> str:
        """The strokes as they are kept."""
        return ";".join(" ".join(f"{x},{y}" for x, y in stroke) for stroke in self.strokes)

    @property
    def path(self) -> str:
        """The strokes as the data of an SVG path (SVG 2, 9.3); a dot is a line to itself, which round ends fill."""
        return "".join(f"M{_joined(stroke[:1])}L{_joined(stroke[1:] or stroke)}" for stroke in self.strokes)


def _joined(points: tuple[Point, ...]) -> str:
    return " ".join(f"{x} {y}" for x, y in points)


def read_signature(text: str) -> Signature:
    """Read what a phone sent.

    Raises
    ------
    SignatureError
        When it is longer than any signature, anything but strokes of points in the box, or hardly a line.
    """
    if len(text) > LONGEST_TEXT:
        raise SignatureError(TOO_LONG)
    if not _TEXT.fullmatch(text):
        raise SignatureError(NO_DRAWING)
    strokes = (stroke.split(" ") for stroke in text.split(";"))
    return Signature(strokes=tuple(tuple(_point(point) for point in stroke) for stroke in strokes))


def _point(text: str) -> Point:
    x, _, y = text.partition(",")
    return int(x), int(y)
