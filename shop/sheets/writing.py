"""A table as CSV by RFC 4180, which no sheet takes for a formula."""

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

Cell = str | int | Decimal | date | None
ACTIVE = ("=", "+", "-", "@", "\t", "\r", "\n")
HARMLESS = "'"  # a sheet shows what follows it as text


def csv_of(head: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """Write a table: comma, CRLF, quotes where they are needed (RFC 4180, section 2); UTF-8 with its mark.

    Days are ISO 8601 and numbers have a point, whatever the shop's language. Text that a sheet could take for a formula
    begins with an apostrophe; a number below zero stays a number.
    """
    held = io.StringIO(newline="")
    writer = csv.writer(held, lineterminator="\r\n")
    writer.writerow(head)
    writer.writerows([_text(cell) for cell in row] for row in rows)
    return held.getvalue().encode("utf-8-sig")


def _text(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, Decimal):
        return f"{cell:f}"
    if isinstance(cell, int):
        return str(cell)
    return f"{HARMLESS}{cell}" if cell.lstrip(" ").startswith(ACTIVE) or cell.startswith(ACTIVE) else cell
