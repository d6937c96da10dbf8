"""The common sheets of labels: paper, the size of one label, how many across and down. Sizes are from memory."""

from collections.abc import Iterator
from dataclasses import dataclass

from shop.pdf import Paper

PAPER_MM = {Paper.A4: (210.0, 297.0), Paper.LETTER: (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1
INCH_MM = 25.4


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """A sheet of labels, which lie in the middle of it, without gaps between rows.

    Parameters
    ----------
    key : str
        Its name in an address.
    paper : Paper
        A4 or US Letter.
    width_mm, height_mm : float
        Of one label.
    across, down : int
        Labels in a row, and rows.
    gap_mm : float
        Between two labels of a row.
    """

    key: str
    paper: Paper
    width_mm: float
    height_mm: float
    across: int
    down: int
    gap_mm: float = 0.0

    @property
    def count(self) -> int:
        """Labels on the sheet."""
        return self.across * self.down

    @property
    def paper_mm(self) -> tuple[float, float]:
        """Width and height of the paper."""
        return PAPER_MM[self.paper]

    @property
    def left_mm(self) -> float:
        """From the paper's left edge to the first label."""
        return (self.paper_mm[0] - self.across * self.width_mm - (self.across - 1) * self.gap_mm) / 2

    @property
    def top_mm(self) -> float:
        """From the paper's upper edge to the first label."""
        return (self.paper_mm[1] - self.down * self.height_mm) / 2

    def corners(self) -> Iterator[tuple[float, float]]:
        """The upper left corner of every label, row by row, mm from that of the paper."""
        for row in range(self.down):
            for column in range(self.across):
                yield self.left_mm + column * (self.width_mm + self.gap_mm), self.top_mm + row * self.height_mm


def _a4(key: str, width_mm: float, height_mm: float, across: int, down: int, gap_mm: float = 0.0) -> LabelSheet:
    return LabelSheet(
        key=key, paper=Paper.A4, width_mm=width_mm, height_mm=height_mm, across=across, down=down, gap_mm=gap_mm
    )


def _letter(key: str, width_in: float, height_in: float, across: int, down: int, gap_in: float) -> LabelSheet:
    return LabelSheet(
        key=key,
        paper=Paper.LETTER,
        width_mm=width_in * INCH_MM,
        height_mm=height_in * INCH_MM,
        across=across,
        down=down,
        gap_mm=gap_in * INCH_MM,
    )


SHEETS = (
    _a4("a4-21", 63.5, 38.1, 3, 7, 2.5),
    _a4("a4-24", 70.0, 37.0, 3, 8),
    _a4("a4-8", 99.1, 67.7, 2, 4, 2.5),
    _a4("a4-65", 38.1, 21.2, 5, 13, 2.5),
    _letter("letter-30", 2.625, 1.0, 3, 10, 0.125),
    _letter("letter-10", 4.0, 2.0, 2, 5, 0.1875),
    _letter("letter-6", 4.0, 10 / 3, 2, 3, 0.1875),
)
BY_KEY = {sheet.key: sheet for sheet in SHEETS}
