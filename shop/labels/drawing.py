"""Labels drawn on their sheets, in millimetres: a QR code (ISO/IEC 18004, error correction Q) and words beside it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from textwrap import wrap

import segno

from shop.labels.sheets import LabelSheet

EDGE_MM = 2.0  # printers feed askew: nothing is nearer to a label's edge than this
QUIET = 4  # modules of white round the code, ISO/IEC 18004
LARGEST_MM, CODE_W = 40.0, 0.46  # of a code; the latter of its label's width
FINE_MM = 0.35  # of one module; phones read smaller ones badly at arm's length: common practice, no published source
LETTER_W = 0.56  # of its size: the mean width of a sans serif letter, on the wide side
BIG, SMALL, LEAST_MM = 0.2, 0.1, 2.1  # sizes of letters, of the label's height


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What stands on a label: the address in its code, its name in large letters, and lines below that."""

    address: str
    name: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Words:
    """One line of a drawn label; numbers are text, so that no language puts a comma into them."""

    text: str
    x: str
    y: str
    size: str
    bold: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A label on its sheet: where its code stands and how it is scaled, its path, and the words."""

    code_at: str
    path: str
    words: tuple[Words, ...]
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetDrawn:
    """One sheet of paper with its labels; ``fine`` tells that the codes are too fine for many phones."""

    width: str
    height: str
    labels: tuple[Drawn, ...]
    fine: bool


def draw_sheets(sheet: LabelSheet, labels: Sequence[Label], first: int = 1) -> tuple[SheetDrawn, ...]:
    """Lay labels out on as many sheets as they take.

    Parameters
    ----------
    sheet : LabelSheet
        The kind of sheet.
    labels : sequence of Label
        In their order.
    first : int
        The place of the first one, from 1: those before it are gone from the sheet already.

    Raises
    ------
    ValueError
        The sheet has no such place.
    """
    if not 1 <= first <= sheet.count:
        raise ValueError(f"The sheet has the places 1 to {sheet.count}.")
    places: list[Label | None] = [*([None] * (first - 1)), *labels]
    pages = [places[n : n + sheet.count] for n in range(0, len(places), sheet.count)]
    return tuple(_sheet(sheet, page) for page in pages)


def _sheet(sheet: LabelSheet, page: Sequence[Label | None]) -> SheetDrawn:
    drawn, fine = [], False
    for label, corner in zip(page, sheet.corners(), strict=False):
        if label is not None:
            one, module_mm = _label(sheet, label, corner)
            drawn.append(one)
            fine = fine or module_mm < FINE_MM
    width, height = sheet.paper_mm
    return SheetDrawn(width=f"{width:g}", height=f"{height:g}", labels=tuple(drawn), fine=fine)


def _label(sheet: LabelSheet, label: Label, corner: tuple[float, float]) -> tuple[Drawn, float]:
    code = segno.make(label.address, error="q", micro=False)
    modules = code.symbol_size(border=QUIET)[0]
    side = min(sheet.height_mm - 2 * EDGE_MM, CODE_W * sheet.width_mm, LARGEST_MM)
    left, top = corner
    x, y = left + EDGE_MM, top + (sheet.height_mm - side) / 2
    module_mm = side / modules
    room = left + sheet.width_mm - EDGE_MM - (x + side)
    words = tuple(_words(label, x + side, top, room, sheet.height_mm))
    at = f"translate({x:.3f} {y:.3f}) scale({module_mm:.5f})"
    return Drawn(code_at=at, path=path_of(code), words=words, says=label.name), module_mm


def path_of(code: segno.QRCode) -> str:
    """The dark modules as a path, one unit a module, the quiet zone counted: each run of a row is one oblong."""
    parts = []
    for y, row in enumerate(code.matrix, start=QUIET):
        x = QUIET
        for dark, run in groupby(row):
            length = len(list(run))
            if dark:
                parts.append(f"M{x} {y}h{length}v1h-{length}z")
            x += length
    return "".join(parts)


def _words(label: Label, x: float, top: float, room: float, height: float) -> Iterator[Words]:
    big = max(LEAST_MM, min(BIG * height, room / (LETTER_W * max(1, len(label.name)))))
    small = max(LEAST_MM, min(SMALL * height, 4.0))
    fits = int((height - 2 * EDGE_MM - 1.3 * big) / (1.3 * small))
    lines = _wrapped(label.lines, int(room / (LETTER_W * small)))[: max(0, fits)]
    y = top + (height - 1.3 * big - 1.3 * small * len(lines)) / 2 + big
    yield Words(_cut(label.name, int(room / (LETTER_W * big))), f"{x:.2f}", f"{y:.2f}", f"{big:.2f}", bold=True)
    for line in lines:
        y += 1.3 * small
        yield Words(line, f"{x:.2f}", f"{y:.2f}", f"{small:.2f}", bold=False)


def _wrapped(lines: Sequence[str], most: int) -> list[str]:
    """The lines of a label broken between words, each into two at the most."""
    wrapped = (wrap(line, max(2, most), max_lines=2, placeholder="…") for line in lines if line)
    return [part for parts in wrapped for part in parts]


def _cut(text: str, most: int) -> str:
    """As much of a text as there is room for."""
    return text if len(text) <= most else text[: max(1, most - 1)].rstrip() + "…"
