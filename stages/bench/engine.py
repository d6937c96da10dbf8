"""How long the stage engine takes for one hull, beside its state going through JSON and back."""

import json
from collections.abc import Callable
from dataclasses import asdict, replace
from datetime import datetime
from functools import partial
from statistics import median
from time import perf_counter

from django.utils import timezone

from shop.models import CrewMember
from stages.bench.figures import Figure
from stages.demo.load import load_demo
from stages.engine.assess import StageStatus, assess
from stages.engine.work import Work
from stages.queries.work import in_work, rows_in_hand
from stages.queries.world import around

ROUNDS = 200
AIM_S = 0.001


def measure() -> list[Figure]:
    """Assess every hull of the demo shop; the figure is that of the slowest one."""
    if not CrewMember.objects.exists():
        load_demo()
    now = timezone.now()
    works = [found.work for found in in_work(rows_in_hand(), around().world)]
    slowest = max((_median(partial(_afresh, work, now)), n) for n, work in enumerate(works))
    work = works[slowest[1]]
    return [
        Figure(
            name=f"assess one hull, {len(work.route.stages)} stages",
            ours_s=slowest[0],
            peer="state to JSON and back",
            peer_s=_median(lambda: json.loads(json.dumps(_plain(work), default=str))),
            aim_s=AIM_S,
        )
    ]


def _afresh(work: Work, now: datetime) -> tuple[StageStatus, ...]:
    """Assess as a request does: nothing that a work keeps of itself is there yet."""
    return assess(replace(work), now)


def _plain(work: Work) -> dict[str, object]:
    return asdict(work.state)


def _median(ask: Callable[[], object]) -> float:
    taken = []
    for _ in range(ROUNDS):
        begun = perf_counter()
        ask()
        taken.append(perf_counter() - begun)
    return median(taken)
