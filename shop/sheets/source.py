"""From the bytes of a file to its numbered lines, never more than one line in memory."""

import codecs
import io
from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import BinaryIO

from django.utils.translation import gettext as _

from shop.sheets.problems import SheetError

MAX_LINE = 20_000
CHUNK = 65_536
WORKBOOK = b"PK\x03\x04"  # a spreadsheet's own file is a zip archive

_MARKS = {
    codecs.BOM_UTF8: "utf-8-sig",
    codecs.BOM_UTF16_LE: "utf-16",
    codecs.BOM_UTF16_BE: "utf-16",
}


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the file, its line end included; of an over-long one only the beginning."""

    number: int
    text: str
    whole: bool = True


class Lines:
    """The lines of a text, numbered from 1, with the way back for those that were read too far."""

    def __init__(self, text: io.TextIOWrapper) -> None:
        self._text = text
        self._number = 0
        self._again: deque[Line] = deque()

    def __iter__(self) -> Iterator[Line]:
        while line := self._next():
            yield line

    def put_back(self, lines: Iterable[Line]) -> None:
        """Give these lines out again before any other, in their order."""
        self._again.extendleft(reversed(list(lines)))

    def _next(self) -> Line | None:
        if self._again:
            return self._again.popleft()
        text = rest = self._text.readline(MAX_LINE)
        if not text:
            return None
        self._number += 1
        while rest and not rest.endswith(("\n", "\r")):
            rest = self._text.readline(MAX_LINE)
        return Line(self._number, text, whole=len(text) < MAX_LINE)


def encoding_of(file: BinaryIO) -> str:
    """Find out how a file writes its characters, by reading it through once.

    Parameters
    ----------
    file
        A file that can be read from its beginning.

    Returns
    -------
    str
        Python's name of the encoding: UTF-8 with or without its mark, UTF-16 with its mark, or else Windows-1252.

    Raises
    ------
    SheetError
        The file is empty, is no text, or fits none of these.
    """
    file.seek(0)
    chunk = file.read(CHUNK)
    if not chunk.strip():
        raise SheetError(_("The file is empty."))
    marked = next((name for mark, name in _MARKS.items() if chunk.startswith(mark)), None)
    if chunk.startswith(WORKBOOK) or (marked != "utf-16" and b"\0" in chunk):
        raise SheetError(_("This is not a text file. In the spreadsheet, save it as CSV (UTF-8) and send that."))
    file.seek(0)
    fitting = _that_decode(file, [marked] if marked else ["utf-8", "cp1252"])
    if not fitting:
        raise SheetError(_("The characters of this file are neither UTF-8 nor Windows-1252. Save it as CSV (UTF-8)."))
    return fitting[0]


def _that_decode(file: BinaryIO, names: list[str]) -> list[str]:
    decoders = {name: codecs.getincrementaldecoder(name)() for name in names}
    chunk = b"-"
    while chunk and decoders:
        chunk = file.read(CHUNK)
        for name, decoder in list(decoders.items()):
            try:
                decoder.decode(chunk, final=not chunk)
            except UnicodeDecodeError:
                del decoders[name]
    return list(decoders)
