"""One open stage of one hull as steps of the planner, and how such steps are made."""

from dataclasses import dataclass

from stages.engine.assess import StageStatus
from stages.engine.products import Product
from stages.engine.route import StageSpec
from stages.engine.vocab import StationKind
from stages.planner.problem import Held, Hold, Link, Step, Use
from stages.queries.planning.ground import Ground
from stages.queries.work import InWork


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """An open stage as steps.

    ``ends`` are the steps that must be ready before what comes after the stage; ``hold`` is what its own end still
    waits for where no step is left: its last coat, drying. ``last`` is the key of the last coat that it puts on.
    """

    status: StageStatus
    steps: tuple[Step, ...] = ()
    links: tuple[Link, ...] = ()
    ends: tuple[str, ...] = ()
    hold: Hold | None = None
    last: str = ""
    product: Product | None = None

    @property
    def spec(self) -> StageSpec:
        """The stage."""
        return self.status.spec


def key_of(hull: InWork, spec: StageSpec, *more: object) -> str:
    """The key of a step: the hull's tag, the stage's key, and the number of the coat."""
    return "/".join(map(str, (hull.work.tag, spec.key, *more)))


def use_of(kind: StationKind | None, held: Held = Held.HANDS) -> tuple[Use, ...]:
    """What a step takes at a kind of station."""
    return (Use(resource=str(kind), held=held),) if kind else ()


def step_of(
    ground: Ground, hull: InWork, spec: StageSpec, hours: float, *, key: str, title: str, holds: tuple[Hold, ...] = ()
) -> Step:
    """A step of so many hours at the station of a stage."""
    sittings = ground.sittings(spec, hours)
    return Step(
        key=key,
        job=hull.work.tag,
        title=title,
        sittings=sittings,
        skill=ground.skills.name(spec.skill) if sittings else None,
        uses=use_of(spec.station) if sittings else (),
        kind=spec.key,
        holds=holds,
    )
