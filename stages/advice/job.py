"""The work as tools and cautions look at it."""

from collections.abc import Callable
from dataclasses import dataclass

from stages.advice.answers import Answers, Finish
from stages.advice.plan import Step
from stages.engine.label import Family
from stages.engine.products import Product
from stages.engine.vocab import FILLERS, Damage, Gate, ProductKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """What the boat needs, and the steps that come of it."""

    answers: Answers
    steps: tuple[Step, ...]

    @property
    def products(self) -> tuple[Product, ...]:
        """What goes on the boat, coat by coat."""
        return tuple(step.product for step in self.steps if step.product)


Asked = Callable[[Job], bool]


def always(_job: Job) -> bool:
    """Whatever is done."""
    return True


def old_finish(job: Job) -> bool:
    """Old paint, varnish or filler is disturbed."""
    return job.answers.disturbs_old_finish


def strips(job: Job) -> bool:
    """Old varnish comes off."""
    return Finish.STRIP in (job.answers.inside, job.answers.brightwork)


def canvases(job: Job) -> bool:
    """A new canvas goes on."""
    return job.answers.new_canvas


def of_kind(*kinds: ProductKind) -> Asked:
    """A product of one of these kinds goes on."""
    return lambda job: any(product.kind in kinds for product in job.products)


fills = of_kind(*FILLERS)


def counted(*damages: Damage) -> Asked:
    """Some of these are replaced or mended."""
    return lambda job: any(job.answers.count(damage) for damage in damages)


def brushes(job: Job) -> bool:
    """Something is laid on with a brush."""
    return any(product.label for product in job.products)


def sands(job: Job) -> bool:
    """Something is sanded."""
    return job.answers.mends_wood or any(product.sand_between for product in job.products)


def self_heating(job: Job) -> bool:
    """Rags of it can take fire by themselves."""
    return any(product.self_heating for product in job.products) or any(
        Gate.RAGS in step.spec.gates for step in job.steps
    )


def solvents(job: Job) -> bool:
    """Solvent leaves it as it dries."""
    dried = (Family.SOLVENT, Family.OXIDATIVE)
    return any(product.label is not None and product.label.family in dried for product in job.products)
