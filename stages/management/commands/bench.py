"""`manage.py bench`: how fast the program is on this machine, each figure beside a named reference of the same run."""

import json
import tempfile
from argparse import ArgumentParser
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand
from django.db import connection

from stages.bench import clock, engine, forecasts, pages, photos, planner, readings, sheet, takeoff
from stages.bench.figures import Figure

PARTS: dict[str, Callable[[], list[Figure]]] = {
    "engine": engine.measure,
    "clock": clock.measure,
    "pages": pages.measure,
    "photos": photos.measure,
    "readings": readings.measure,
    "sheet": sheet.measure,
    "takeoff": takeoff.measure_take_off,
    "forecast": forecasts.measure,
}
PLANNER = "planner"
HEAD = "{:<44} {:>11} {:>26} {:>11} {:>9} {:>9}"
PLANS = "{:<44} {:>5} {:>11} {:>26} {:>11} {:>9} {:>20}"


class Command(BaseCommand):
    """Measures in a database of its own and prints the figures."""

    help = "Measure the program on this machine, each figure beside a named reference measured in the same run."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Choose the parts and the form."""
        parser.add_argument("--json", action="store_true", help="print the figures as JSON")
        every = sorted([*PARTS, PLANNER])
        parser.add_argument("parts", nargs="*", choices=[*every, []], help="measure these parts alone")
        parser.add_argument("--only", choices=every, action="append", default=[], help="the same, one at a time")
        parser.add_argument("--long", action="store_true", help="planner: every size and instance, more than an hour")
        parser.add_argument("--boats", type=int, nargs="+", help="planner: shops of so many boats")
        parser.add_argument("--seeds", type=int, help="planner: so many shops of each size")
        parser.add_argument("--seconds", type=float, nargs="+", help="planner: look at the plans after so many seconds")
        parser.add_argument("--instances", help="planner: the job shops whose names match, all of --seconds")

    def handle(self, *args: Any, **options: Any) -> None:
        """Measure and print."""
        chosen = [*options["parts"], *options["only"]] or [*PARTS, PLANNER]
        rows = self._time(chosen, quiet=options["json"]) if set(chosen) & set(PARTS) else []
        if PLANNER in chosen:
            rows += self._plan(choice_of(options), quiet=options["json"])
        if options["json"]:
            self.stdout.write(json.dumps(rows, indent=2))

    def _time(self, chosen: list[str], *, quiet: bool) -> list[dict[str, Any]]:
        with throw_away_database():
            figures = [f for name, part in PARTS.items() if name in chosen for f in part()]
        if quiet:
            return [figure.as_row() for figure in figures]
        self.stdout.write(HEAD.format("what", "ms", "reference", "ms", "ratio", "aim ms"))
        for figure in figures:
            row = figure.as_row()
            missing = {"reference_ms": "not there", "ratio": "", "aim_ms": ""}
            shown = {name: missing[name] if value is None else value for name, value in row.items()}
            self.stdout.write(HEAD.format(*shown.values()))
        return []

    def _plan(self, choice: planner.Choice, *, quiet: bool) -> list[dict[str, Any]]:
        """The planner's lines, printed as they come: a run may take an hour."""
        rows = []
        if not quiet:
            self.stdout.write(PLANS.format("what", "in", "ours", "reference", "theirs", "ratio", "aim"))
        for outcome in planner.measure(choice):
            rows.append(outcome.as_row())
            if not quiet:
                self.stdout.write(PLANS.format(*("" if value is None else value for value in rows[-1].values())))
        return rows


def choice_of(options: dict[str, Any]) -> planner.Choice:
    """What the planner's options ask for."""
    choice = planner.LONG if options["long"] else planner.QUICK
    chosen: dict[str, Any] = {
        name: options[name] for name in ("boats", "seeds", "seconds") if options[name] is not None
    }
    if options["instances"] is not None:
        seconds = max(options["seconds"] or choice.seconds)
        chosen["sets"] = [planner.Set(options["instances"], options["instances"], seconds, "")]
    return replace(choice, **chosen)


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
