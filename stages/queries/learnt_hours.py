"""What the shop's own boats teach of its hours: what each kind of work was expected to take, and what it took."""

from collections import defaultdict

from hulls.sizes import outside_area_m2
from stages.engine.route import Scope
from stages.engine.vocab import Damage
from stages.models import StageState
from stages.planner.hours import HoursBelief, learn
from stages.queries.routes import engine_route

LATEST = 4000  # finished steps that are learnt from, some two hundred boats
LEAST_H = 0.1  # a step that was expected to take less says nothing


def beliefs() -> dict[str, HoursBelief]:
    """By the key of the stage, what is believed of its hours; stages that nobody told the hours of are left out."""
    return {key: learn(found) for key, found in ratios().items()}


def ratios() -> dict[str, list[float]]:
    """By the key of the stage, hours taken over hours expected by the route's formula, one a boat, in one query."""
    told = StageState.objects.filter(hours__gt=0.0, finished_at__isnull=False).order_by("-finished_at")
    found: dict[str, list[float]] = defaultdict(list)
    for state in told.select_related("work__hull", "work__route")[:LATEST]:
        work = state.work
        spec = engine_route(work.route).by_key.get(state.stage)
        counts = {Damage(kind): count for kind, count in work.facts.get("counts", {}).items()}
        expected_h = spec.hours(Scope(counts=counts, area_m2=outside_area_m2(work.hull))) if spec else 0.0
        if expected_h >= LEAST_H and state.hours is not None:
            found[state.stage].append(state.hours / expected_h)
    return dict(found)
