"""What a plan costs: weighted tardiness, missed windows, flow time, the last finish, and what it moves."""

from collections.abc import Iterable

from stages.planner.problem import Problem
from stages.planner.schedule import Cost, Placed
from stages.planner.timegrid import SLOTS_A_DAY


def cost_of(problem: Problem, placed: Iterable[Placed]) -> Cost:
    """Add up what a plan costs.

    Parameters
    ----------
    problem : Problem
        What it was made from.
    placed : iterable of Placed
        Its steps; those that were left out cost nothing.

    Returns
    -------
    Cost
        ``tardy``: over boats, weight times the slots by which the last step is ready after the promise; ``flow``: over
        boats, the boat's flow weight times the slots until then; ``missed``: steps that are sanded for a missed window;
        ``makespan``: the last moment at which anything is ready; ``shuffle``: over kept sittings, the slots by which
        they moved, a day's at most.
    """
    placed = tuple(placed)
    by_key = {step.key: step for step in problem.steps}
    done: dict[str, int] = {}
    for one in placed:
        job = by_key[one.step].job
        done[job] = max(done.get(job, 0), one.ready)
    boats = [(job, done[job.key]) for job in problem.jobs if job.key in done]
    starts = {(sitting.step, sitting.number): sitting.start for one in placed for sitting in one.sittings}
    moved = [abs(starts[k.step, k.number] - k.start) for k in problem.kept if (k.step, k.number) in starts]
    weights = problem.weights
    return Cost(
        tardy=sum(job.weight * max(0, end - job.due) for job, end in boats if job.due is not None),
        missed=weights.missed * sum(one.sanded for one in placed),
        flow=sum(job.flow * max(0, end) for job, end in boats),
        makespan=weights.makespan * max(done.values(), default=0),
        shuffle=weights.shuffle * sum(min(slots, SLOTS_A_DAY) for slots in moved),
    )
