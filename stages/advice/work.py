"""The plan as the take-off reads it: coats by surface and kind, what is stripped, what is counted."""

from collections.abc import Iterable, Mapping

from hulls.takeoff import Coats, Work
from stages.advice.job import Job
from stages.engine.route import StageSpec
from stages.engine.vocab import Damage, ProductKind, Surface

STRIPPED = frozenset({Surface.INSIDE, Surface.BRIGHTWORK})


def work_of(job: Job) -> Work:
    """Give the work of a job.

    Parameters
    ----------
    job : Job
        The answers, and the steps that came of them: an amount is always that of a step on the page.

    Returns
    -------
    Work
        For `hulls.takeoff.take_off`.
    """
    return work_of_steps((step.spec for step in job.steps), {damage: job.answers.count(damage) for damage in Damage})


def work_of_steps(steps: Iterable[StageSpec], counts: Mapping[Damage, int]) -> Work:
    """Give the work that steps of a route and what was counted come to."""
    specs = tuple(steps)
    return Work(
        coats=tuple(
            Coats(surface=str(spec.surface), kind=str(spec.product), coats=spec.coats)
            for spec in specs
            if spec.coats and spec.surface and spec.product and spec.product is not ProductKind.CANVAS
        ),
        canvas=any(spec.product is ProductKind.CANVAS for spec in specs),
        strips=tuple(str(spec.strips) for spec in specs if spec.strips in STRIPPED),
        wash=any(spec.strips is Surface.PLANKING for spec in specs),
        refit=any(spec.counted is Damage.OUTWALES for spec in specs),
        **{damage.value: counts.get(damage, 0) for damage in Damage},
    )
