"""`manage.py plan`: plan the shop, or a problem out of a file, or check a plan against every constraint."""

import math
from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.models import Shop
from stages.models import How
from stages.planner.compare import finishes
from stages.planner.errors import PlannerError
from stages.planner.fileformat import carries_plan, read_plan, read_problem, text_of, write_plan
from stages.planner.listplan import list_plan
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.planner.screen import screen
from stages.planner.timegrid import SLOT_MIN, SLOTS_AN_HOUR
from stages.planner.verify import verify
from stages.services.replanning import bettered, plan_now

ONLY_THE_PLAN = gettext_lazy("(Only the plan says so: by itself nothing in the problem keeps it out.)")


class Command(BaseCommand):
    """Makes and checks plans."""

    help = "Plan the shop and keep the plan; with --problem plan a file instead, with --check verify a plan."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Name what is planned or checked, for how long, and the form."""
        parser.add_argument(
            "--seconds", type=seconds, metavar="N", help="how long to better the plan; as set in the shop"
        )
        parser.add_argument("--json", action="store_true", help="the plan with its problem as JSON, to check or keep")
        parser.add_argument("--problem", type=Path, metavar="FILE.json", help="a problem, or a plan that carries one")
        parser.add_argument("--check", type=Path, metavar="FILE.json", help="verify a plan by its problem")

    def handle(self, *args: Any, **options: Any) -> None:
        """Plan or check."""
        try:
            if options["check"]:
                self._check(*_read_plan(options["check"], options["problem"]))
            elif options["problem"]:
                problem = _read_problem(options["problem"])
                self._say(problem, bettered(problem, list_plan(problem), options["seconds"] or 0.0), options["json"])
            else:
                self._plan(options["seconds"], options["json"])
        except (PlannerError, OSError, UnicodeError) as error:
            raise CommandError(_said(error)) from error

    def _plan(self, seconds: float | None, as_json: bool) -> None:
        made = plan_now(now=timezone.now(), seconds=seconds)
        if made is None:
            raise CommandError(_("Another plan of the shop is being made just now. Try again in a minute."))
        with timezone.override(Shop.the_one().zone_info):
            self._say(made.problem, made.schedule, as_json, made.how)

    def _say(self, problem: Problem, schedule: Schedule, as_json: bool, how: str = How.LIST) -> None:
        if as_json:
            self.stdout.write(write_plan(problem, schedule))
        else:
            self.stdout.write("\n".join(table(problem, schedule, how)))

    def _check(self, problem: Problem, schedule: Schedule) -> None:
        breaches = verify(problem, schedule)
        if breaches:
            raise CommandError("\n".join(map(str, breaches)))
        self.stdout.write("\n".join(checked(problem, schedule)))


def seconds(text: str) -> float:
    """Read how long to better a plan; what never ends or is none is refused."""
    value = float(text)
    if not 0 <= value < math.inf:
        raise ArgumentTypeError(_("Say how many seconds, like 10."))
    return value


def checked(problem: Problem, schedule: Schedule) -> Iterator[str]:
    """What a plan that keeps every constraint places, and what it leaves out: why, and whether the problem says so too.

    A plan may leave out what another one would place: no constraint forbids it, so it is said.
    """
    screened = {left.step for left in screen(problem).left}
    counts = {"placed": len(schedule.placed), "left": len(schedule.left), "cost": schedule.cost.total}
    yield _("%(placed)s steps placed keep every constraint; %(left)s left out. Cost: %(cost)s") % counts
    for left in schedule.left:
        why = f"{left.step}: {_(left.text) % left.values}"
        yield why if left.step in screened else f"{why} {ONLY_THE_PLAN}"


def table(problem: Problem, schedule: Schedule, how: str) -> Iterator[str]:
    """A line a boat, those that are late first, then what has no place and why."""
    due = {job.key: job.due for job in problem.jobs}
    ends = finishes(problem, schedule)
    later = {
        key: max(0, end - promise) if end and (promise := due[key]) is not None else 0 for key, end in ends.items()
    }
    for key in sorted(ends, key=lambda key: (-later[key], ends[key] or problem.horizon, key)):
        end = ends[key]
        done = _moment(problem, end) if end is not None else _("no place in the plan")
        late = _("%(days).1f days late") % {"days": later[key] / SLOTS_AN_HOUR / 24} if later[key] else ""
        yield f"{key:<12} {done:<18} {late}".rstrip()
    for left in schedule.left:
        yield f"{left.step}: {_(left.text) % left.values}"
    yield f"{how}, {_('cost')} {schedule.cost.total}"


def _moment(problem: Problem, slot: int) -> str:
    if problem.start is None:
        return _("hour %(n)s") % {"n": f"{slot / SLOTS_AN_HOUR:g}"}
    return timezone.localtime(problem.start + timedelta(minutes=slot * SLOT_MIN)).strftime("%Y-%m-%d %H:%M")


def _read_problem(path: Path) -> Problem:
    text = text_of(path.read_bytes())
    return read_plan(text)[0] if carries_plan(text) else read_problem(text)


def _read_plan(path: Path, problem: Path | None) -> tuple[Problem, Schedule]:
    """A plan, with the problem that it carries or the one that is named."""
    carried, schedule = read_plan(text_of(path.read_bytes()))
    return (_read_problem(problem) if problem else carried), schedule


def _said(error: Exception) -> str:
    if isinstance(error, PlannerError):
        return f"{error.field}: {_(error.message)}" if error.field else _(error.message)
    return str(error)
