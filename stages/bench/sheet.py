"""How long a sheet of 10,000 hulls takes, beside the csv module and bare INSERTs."""

import csv
import io
from time import perf_counter

from django.db import connection
from django.utils import timezone

from hulls.intake import open_sheet
from shop.models import CrewMember
from stages.bench.figures import Figure
from stages.services.intake import take_in_sheet

ROWS = 10_000
HEAD = "tag;owner;email;length;beam;depth;end depth;arrived;promised\n"
LINE = 'I-{n};Owner {n};owner{n}@example.org;16\' 2";34 1/2";12 1/2";23";2026-03-04;2026-09-01\n'


def a_sheet(rows: int = ROWS) -> bytes:
    """A sheet of so many hulls, as a spreadsheet saves it."""
    return (HEAD + "".join(LINE.format(n=n) for n in range(rows))).encode()


def measure() -> list[Figure]:
    """Take the sheet in, and store the same text as bare rows."""
    content = a_sheet()
    begun = perf_counter()
    intake = take_in_sheet(
        sheet=open_sheet(io.BytesIO(content)),
        by=CrewMember.objects.get(username="owner"),
        now=timezone.localtime(),
        watch=lambda row: None,
    )
    ours_s = perf_counter() - begun
    if intake.taken_in != ROWS:
        raise RuntimeError(f"{intake.taken_in} of {ROWS} hulls were taken in")
    return [
        Figure(name=f"import of {ROWS} hulls", ours_s=ours_s, peer="csv and bare INSERTs", peer_s=_bare_rows(content))
    ]


def _bare_rows(content: bytes) -> float:
    with connection.cursor() as cursor:
        cursor.execute("CREATE TEMPORARY TABLE bare (a, b, c, d, e, f, g, h, i)")
        begun = perf_counter()
        rows = csv.reader(io.StringIO(content.decode()), delimiter=";")
        next(rows)
        cursor.executemany("INSERT INTO bare VALUES (" + ",".join(["%s"] * 9) + ")", list(rows))
        return perf_counter() - begun
