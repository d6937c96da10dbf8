"""The order of work: the shop's own route, narrowed to what somebody does to their boat."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from stages.advice.answers import Answers, Finish, Outside
from stages.engine.products import Product
from stages.engine.route import Route, StageSpec
from stages.engine.vocab import Damage, Gate, ProductKind, StationKind, Surface

UNDER_THE_PAINT = frozenset(
    {
        ProductKind.CANVAS,
        ProductKind.PRESERVATIVE,
        ProductKind.LATEX_FILLER,
        ProductKind.OIL_FILLER,
        ProductKind.PRIMER,
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the work.

    Parameters
    ----------
    spec : StageSpec
        The stage of the route.
    product : Product or None
        What its coats are of; None where it has none, or the shop has no such product.
    next_coat : StageSpec or None
        The next step that puts a coat on the same surface.
    """

    spec: StageSpec
    product: Product | None = None
    next_coat: StageSpec | None = None


def plan(route: Route, answers: Answers, products: Mapping[ProductKind, Product]) -> tuple[Step, ...]:
    """Give the steps of the work in their order.

    Parameters
    ----------
    route : Route
        The shop's route.
    answers : Answers
        What the boat needs.
    products : mapping of ProductKind to Product
        The shop's usual product of each kind.

    Returns
    -------
    tuple of Step
        Each after all that it waits for; among those that could go first, by the trade's sequence. Empty where all is
        left as it is.
    """
    if answers.does_nothing:
        return ()
    specs = [spec for spec in in_order(route) if _belongs(spec, answers)]
    return tuple(
        Step(spec=spec, product=products.get(spec.product) if spec.product else None, next_coat=_next(spec, specs[n:]))
        for n, spec in enumerate(specs, start=1)
    )


def in_order(route: Route) -> Iterator[StageSpec]:
    """Give every stage after all that it waits for, and otherwise by position."""
    left, done = sorted(route.stages, key=lambda spec: spec.position), set[str]()
    while left:
        ready = next(spec for spec in left if done.issuperset(spec.after))  # a route has no rings
        left.remove(ready)
        done.add(ready.key)
        yield ready


def _belongs(spec: StageSpec, answers: Answers) -> bool:
    """Whether a stage is part of the work, by what it does rather than by its key: routes are the shop's own."""
    if not spec.when.holds(answers.scope()):
        return False
    if spec.surface is not None:
        return _coats(spec, answers)
    if spec.strips is not None:
        return _strips(spec.strips, answers)
    if spec.station is None:  # between the shop and the boat's owner, unless something is looked at
        return Gate.SURVEY in spec.gates or bool(spec.needs)
    if spec.counted is not None and answers.count(spec.counted):
        return True
    if spec.counted is not None and spec.counted is not Damage.OUTWALES:
        return False
    return answers.new_canvas or (spec.station in (StationKind.STRIP, StationKind.TRIM) and _outwales(answers))


def _outwales(answers: Answers) -> bool:
    return answers.count(Damage.OUTWALES) > 0


def _coats(spec: StageSpec, answers: Answers) -> bool:
    match spec.surface:
        case Surface.INSIDE:
            seals = spec.product is ProductKind.SEALER  # bare wood only; varnish goes on varnish
            return answers.inside is Finish.STRIP or (answers.inside is Finish.VARNISH and not seals)
        case Surface.BRIGHTWORK:
            return answers.brightwork is not Finish.LEAVE
        case Surface.SKIN if answers.outside is Outside.PAINT:
            return spec.product not in UNDER_THE_PAINT
    return answers.new_canvas


def _strips(surface: Surface, answers: Answers) -> bool:
    match surface:
        case Surface.INSIDE:
            return answers.inside is Finish.STRIP
        case Surface.BRIGHTWORK:
            return answers.brightwork is Finish.STRIP
        case Surface.PLANKING:
            return answers.new_canvas or answers.inside is Finish.STRIP
    return answers.new_canvas


def _next(spec: StageSpec, later: Iterable[StageSpec]) -> StageSpec | None:
    if spec.surface is None:
        return None
    return next((other for other in later if other.surface is spec.surface), None)
