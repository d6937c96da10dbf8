"""`manage.py bench`: how fast the program is on this machine, each figure beside a named reference of the same run."""

import json
import tempfile
from argparse import ArgumentParser
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand
from django.db import connection

from stages.bench import clock, engine, pages, photos, readings, sheet, takeoff
from stages.bench.figures import Figure

PARTS: dict[str, Callable[[], list[Figure]]] = {
    "engine": engine.measure,
    "clock": clock.measure,
    "pages": pages.measure,
    "photos": photos.measure,
    "readings": readings.measure,
    "sheet": sheet.measure,
    "takeoff": takeoff.measure_take_off,
}
HEAD = "{:<44} {:>11} {:>26} {:>11} {:>9} {:>9}"


class Command(BaseCommand):
    """Measures in a database of its own and prints the figures."""

    help = "Measure the program on this machine, each figure beside a named reference measured in the same run."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Choose the parts and the form."""
        parser.add_argument("--json", action="store_true", help="print the figures as JSON")
        parser.add_argument("--only", choices=sorted(PARTS), action="append", help="measure this part alone")

    def handle(self, *args: Any, **options: Any) -> None:
        """Measure and print."""
        with throw_away_database():
            figures = [f for name, part in PARTS.items() if name in (options["only"] or PARTS) for f in part()]
        if options["json"]:
            self.stdout.write(json.dumps([figure.as_row() for figure in figures], indent=2))
            return
        self.stdout.write(HEAD.format("what", "ms", "reference", "ms", "ratio", "aim ms"))
        for figure in figures:
            row = figure.as_row()
            missing = {"reference_ms": "not there", "ratio": "", "aim_ms": ""}
            shown = {name: missing[name] if value is None else value for name, value in row.items()}
            self.stdout.write(HEAD.format(*shown.values()))


@contextmanager
def throw_away_database() -> Iterator[None]:
    """Work in a database of its own; the shop's is not touched."""
    with tempfile.TemporaryDirectory(prefix="ribband-bench-") as folder:
        name = connection.settings_dict["NAME"]
        if connection.vendor == "sqlite":
            connection.settings_dict["TEST"]["NAME"] = str(Path(folder) / "bench.sqlite3")
        connection.creation.create_test_db(verbosity=0, autoclobber=True)
        try:
            yield
        finally:
            connection.creation.destroy_test_db(name, verbosity=0)
