"""What named lines tell of one station, as points of its section."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from django.utils.translation import gettext as _

from hulls.offsets.named_lines import NamedLine
from shop.sheets.problems import CellProblem

Point = tuple[float, float]  # height and half-breadth, in metres

READ_M = 0.0254 / 8  # to which a table is read: lines nearer to one another than this have not crossed
APART_M = 1e-6  # what a level run of buttocks is raised by, so that each of its points has a height of its own


class LineProblem(CellProblem):
    """What is wrong with a line at one station, and the row that the line stands in."""

    def __init__(self, told: "Told", message: str) -> None:
        super().__init__(message)
        self.row = told.row


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One cell: the line, the number, and the row that it stands in."""

    line: NamedLine
    value_m: float
    row: int

    @property
    def title(self) -> str:
        """As the table calls the line."""
        return self.line.title

    @property
    def point(self) -> Point:
        """Of a waterline or a buttock."""
        assert self.line.at_m is not None
        if self.line.kind == "waterline":
            return self.line.at_m, self.value_m
        return self.value_m, self.line.at_m


def points_of(told: Sequence[Told]) -> list[Point]:
    """Gather one station's points from the keel to the sheer.

    Raises
    ------
    LineProblem
        Lines cross, or of a line only one number is told.
    """
    waterlines = [t for t in told if t.line.kind == "waterline"]
    buttocks = [t for t in told if t.line.kind == "buttock"]
    keel = _pair(told, "rabbet") or _pair(told, "keel")  # the skin begins at the rabbet
    sheer, chine = _pair(told, "sheer"), _pair(told, "chine")
    ends = [t for t in told if t.line.kind == "sheer"]
    if keel and sheer and sheer[0] < keel[0]:
        raise LineProblem(ends[0], _("The sheer lies below the keel."))
    _check_between(keel, sheer, [t for t in told if t.line.at_m is not None])
    _check_crossed(buttocks, waterlines)
    _check_contradicted(waterlines, [point for point in (chine, sheer) if point], keel)
    cut = [t.point for t in (*waterlines, *buttocks) if not (keel and t.point[0] < keel[0] and not t.point[1])]
    found = sorted(p for p in (keel, *cut, chine, sheer) if p is not None)
    return _apart(found)


def _pair(told: Iterable[Told], kind: str) -> Point | None:
    """Both numbers of a line; a keel has no breadth where none is told."""
    have = {t.line.tells: t for t in told if t.line.kind == kind}
    if not have:
        return None
    height, breadth = have.get("height"), have.get("half_breadth")
    if height is not None and (breadth is not None or kind in ("keel", "rabbet")):
        return height.value_m, breadth.value_m if breadth else 0.0
    one = height or breadth
    assert one is not None
    if kind in ("keel", "rabbet"):
        return None  # how thick the keel is tells nothing where its height is not told
    raise LineProblem(one, _("%(line)s: its height and its half-breadth are both needed.") % {"line": one.title})


def _check_between(keel: Point | None, sheer: Point | None, cut: Iterable[Told]) -> None:
    for told in cut:
        height = told.point[0]
        if sheer and height > sheer[0] + READ_M:
            raise LineProblem(told, _("%(line)s crosses the sheer: it lies above it here.") % {"line": told.title})
        if keel and height < keel[0] - READ_M and told.point[1]:
            raise LineProblem(told, _("%(line)s crosses the keel: it lies below it here.") % {"line": told.title})


def _check_crossed(buttocks: Sequence[Told], waterlines: Sequence[Told]) -> None:
    """Refuse a buttock above a waterline that is wider already: it would have met the skin lower down."""
    for buttock in buttocks:
        height, at = buttock.point
        for waterline in waterlines:
            level, breadth = waterline.point
            if level < height - READ_M and breadth > at + READ_M:
                raise LineProblem(
                    buttock,
                    _("%(line)s crosses %(other)s: this stands higher here, and that is wider already.")
                    % {"line": buttock.title, "other": waterline.title},
                )
    inner_first = sorted(buttocks, key=lambda t: t.point[1])
    for inner, outer in pairwise(inner_first):
        if outer.point[0] < inner.point[0] - READ_M:
            raise LineProblem(
                outer,
                _("%(line)s crosses %(other)s: it lies lower here, though further out.")
                % {"line": outer.title, "other": inner.title},
            )


def _check_contradicted(waterlines: Iterable[Told], others: Iterable[Point], keel: Point | None) -> None:
    """Refuse a second half-breadth at one height; at the keel's own height it is a flat bottom's."""
    for told in waterlines:
        level, breadth = told.point
        for height, other in others:
            above = keel is None or height > keel[0] + READ_M
            if above and abs(height - level) < APART_M and abs(other - breadth) > READ_M:
                raise LineProblem(
                    told,
                    _("%(line)s is crossed: two half-breadths are told for one height here, %(a).3g m and %(b).3g m.")
                    % {"line": told.title, "a": breadth, "b": other},
                )


def _apart(points: Sequence[Point]) -> list[Point]:
    """Leave out a point told twice, and raise those of a level run one above the other."""
    found: list[Point] = []
    for height, breadth in points:
        level = bool(found) and height - found[-1][0] < APART_M
        if not level:
            found.append((height, breadth))
        elif abs(breadth - found[-1][1]) >= READ_M / 2:
            found.append((found[-1][0] + APART_M, breadth))
    return found
