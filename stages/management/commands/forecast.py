"""`manage.py forecast`: when each boat is done, early, likely and late, of the shop or of a problem out of a file."""

import json
from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.models import Shop
from stages.planner.errors import PlannerError
from stages.planner.fileformat import carries_plan, read_plan, read_problem, text_of
from stages.planner.forecast import MOST_SAMPLES, SAMPLES, Forecast, forecast
from stages.planner.listplan import list_plan
from stages.planner.noise import Noise
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.planner.timegrid import SLOT_MIN, SLOTS_AN_HOUR
from stages.planner.verify import verify
from stages.queries.planning.noise import noise_of
from stages.queries.plans import held_plan
from stages.queries.world import around

HEAD = "{:<12} {:<18} {:<18} {:<18} {:<18} {:>7}"


class Command(BaseCommand):
    """Forecasts."""

    help = "Forecast when each boat is done; with --problem of a file: a plan that carries its problem, or a problem."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Name what is forecast, how often it is replayed, and the form."""
        parser.add_argument("--problem", type=Path, metavar="FILE.json", help="a problem, or a plan that carries one")
        replays = f"replays, {SAMPLES} as a rule, {MOST_SAMPLES} at most"
        parser.add_argument("--samples", type=int, default=SAMPLES, metavar="N", help=replays)
        parser.add_argument("--seed", type=seed, default=0, help="the same number, the same forecast")
        parser.add_argument("--json", action="store_true", help="as JSON: by boat, slots and the chance of the promise")

    def handle(self, *args: Any, **options: Any) -> None:
        """Forecast and print."""
        try:
            problem, schedule, noise = _of_file(options["problem"]) if options["problem"] else _of_shop()
            found = forecast(problem, schedule, noise, options["samples"], options["seed"])
        except PlannerError as error:
            raise CommandError(f"{error.field}: {_(error.message)}") from error
        except (OSError, UnicodeError) as error:
            raise CommandError(str(error)) from error
        if options["json"]:
            self.stdout.write(as_json(found))
            return
        with timezone.override(timezone.get_current_timezone() if options["problem"] else Shop.the_one().zone_info):
            self.stdout.write("\n".join(table(problem, schedule, found)))


def seed(text: str) -> int:
    """Read where chance begins."""
    value = int(text)
    if value < 0:
        raise ArgumentTypeError(_("Give a whole number from 0 on."))
    return value


def as_json(found: Forecast) -> str:
    """By boat: early, likely, suggested and late, slots, and the chance of its promise."""
    names = ("early", "likely", "suggested", "late", "chance")
    boats = {key: {name: getattr(finish, name) for name in names} for key, finish in found.finishes.items()}
    return json.dumps({"samples": found.samples, "boats": boats}, indent=2)


def table(problem: Problem, schedule: Schedule, found: Forecast) -> Iterator[str]:
    """A line a boat, the first that is done first; then what has no place and why."""
    yield HEAD.format(_("boat"), "10 %", "50 %", "80 %", "90 %", _("chance")).rstrip()
    for key, finish in sorted(found.finishes.items(), key=lambda one: (one[1].likely, one[0])):
        moments = (_moment(problem, at) for at in (finish.early, finish.likely, finish.suggested, finish.late))
        chance = "" if finish.chance is None else f"{100 * finish.chance:.0f} %"
        yield HEAD.format(key, *moments, chance).rstrip()
    for left in schedule.left:
        yield f"{left.step}: {_(left.text) % left.values}"


def _of_shop() -> tuple[Problem, Schedule, Noise]:
    """The plan that holds."""
    held = held_plan()
    if held is None:
        raise CommandError(_("There is no plan yet: python3 manage.py plan makes one."))
    return held.problem, held.schedule, noise_of(around(), held.problem)


def _of_file(path: Path) -> tuple[Problem, Schedule, Noise]:
    """A plan with its problem, or a problem, which is planned at once; hours as uncertain as they usually are."""
    text = text_of(path.read_bytes())
    if carries_plan(text):
        problem, schedule = read_plan(text)
        if breaches := verify(problem, schedule):
            raise CommandError("\n".join(map(str, breaches)))
        return problem, schedule, Noise()
    problem = read_problem(text)
    return problem, list_plan(problem), Noise()


def _moment(problem: Problem, slot: int) -> str:
    if problem.start is None:
        return _("hour %(n)s") % {"n": f"{slot / SLOTS_AN_HOUR:g}"}
    return timezone.localtime(problem.start + timedelta(minutes=slot * SLOT_MIN)).strftime("%Y-%m-%d %H:%M")
