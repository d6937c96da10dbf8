"""One hull's part of the problem: its open stages in their order, with what each waits for."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from stages.engine.assess import StageStatus
from stages.engine.earliest import OVER
from stages.engine.label import Dryness
from stages.engine.products import Product
from stages.engine.rules.dry import dryness_for
from stages.engine.state import Coat
from stages.engine.vocab import ProductKind, StationKind, Surface
from stages.planner.problem import Hold, Link, Since, Step
from stages.planner.timegrid import SLOTS_AN_HOUR
from stages.queries.planning.coats import between, lag, sanding_of
from stages.queries.planning.ground import Ground
from stages.queries.planning.part import Part, key_of
from stages.queries.planning.practice import MORNING
from stages.queries.planning.stages import part_of
from stages.queries.work import InWork

# What the rules say of these, the problem holds in its own way; of the others it takes the day that they name.
OWN_WAY = frozenset({"order", "place", "dry", "outdoors", "stores", "approved", "sand_between"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """The outermost coat of a surface as the plan has it so far: to come (its step), or on the hull already."""

    product: Product
    kind: StationKind | None
    step: str = ""
    coat: Coat | None = None


@dataclass(slots=True, kw_only=True)
class HullSteps:
    """What is gathered of one hull."""

    ground: Ground
    hull: InWork
    parts: Mapping[str, Part]
    steps: dict[str, Step]
    links: list[Link]


def hull_steps(ground: Ground, hull: InWork, statuses: Sequence[StageStatus]) -> HullSteps:
    """The open stages of a hull as steps and links.

    Parameters
    ----------
    ground : Ground
        The shop.
    hull : InWork
        The hull.
    statuses : sequence of StageStatus
        Its stages as they stand, in the order of the route.
    """
    live = [status for status in statuses if status.state not in OVER]
    parts = {status.spec.key: part_of(ground, hull, status) for status in live}
    found = HullSteps(
        ground=ground,
        hull=hull,
        parts=parts,
        steps={step.key: step for part in parts.values() for step in part.steps},
        links=[link for part in parts.values() for link in part.links],
    )
    _in_order(found)
    _on_each_other(found)
    _held(found)
    return found


def before(found: HullSteps, key: str) -> Iterator[Part]:
    """The open stages right before one: by way of those that are over too."""
    route, seen = found.hull.work.route, set[str]()
    reached = list(route.by_key[key].after)
    while reached:
        one = reached.pop()
        if one in seen:
            continue
        seen.add(one)
        if one in found.parts:
            yield found.parts[one]
        else:
            reached += route.by_key[one].after


def hold(found: HullSteps, step: str, *holds: Hold) -> None:
    """Let a step wait, as far as that lies ahead; of two waits for the same the longer one counts."""
    longest: dict[tuple[str, str], Hold] = {}
    for one in (*found.steps[step].holds, *holds):
        held = longest.get((one.why, one.words))
        if one.until > (held.until if held else 0):
            longest[one.why, one.words] = one
    found.steps[step] = replace(found.steps[step], holds=tuple(longest.values()))


def _in_order(found: HullSteps) -> None:
    for part in found.parts.values():
        if not part.steps:
            continue
        first = part.steps[0].key
        for earlier in before(found, part.spec.key):
            found.links += [Link(before=end, after=first) for end in earlier.ends]
            if earlier.hold:
                hold(found, first, earlier.hold)


def _on_each_other(found: HullSteps) -> None:
    """What lies on what: a first coat waits for the coat under it, and a stage for what the route says must be dry."""
    work = found.hull.work
    tops = {
        surface: Laid(product=work.product(coat), kind=None, coat=coat)
        for surface in Surface
        if (coat := work.state.top(surface))
    }
    for part in found.parts.values():
        spec = part.spec
        if part.steps:
            for need in spec.needs:
                _wait(found, part, tops.get(need.surface), need.dryness)
            if spec.coats and spec.surface and spec.product and part.last:
                under = tops.get(Surface.PLANKING if spec.product is ProductKind.CANVAS else spec.surface)
                _lie_on(found, part, under, spec.product)
        if spec.strips:
            tops.pop(spec.strips, None)
        if part.last and part.product and spec.surface:
            tops[spec.surface] = Laid(product=part.product, kind=spec.station, step=part.last)


def _wait(found: HullSteps, part: Part, laid: Laid | None, dryness: Dryness) -> None:
    if laid is None:
        return
    first = part.steps[0].key
    if laid.coat:
        until = found.ground.drying.since(found.hull.work, laid.coat, dryness)
        hold(found, first, Hold(until=until, why="drying", words=laid.product.name))
    else:
        least = found.ground.drying.slots(laid.product, dryness, laid.kind)
        found.links.append(Link(before=laid.step, after=first, since=Since.HANDS, least=least))


def _lie_on(found: HullSteps, part: Part, laid: Laid | None, kind: ProductKind) -> None:
    if laid is None:
        return
    ground, first = found.ground, part.steps[0].key
    if laid.coat is None:
        dryness = between(laid.product) if laid.product.kind is kind else Dryness.TOPCOAT
        hours = _hours(part)
        found.links.append(lag(ground, laid.product, dryness, laid.kind, (laid.step, first), hours))
        return
    _wait(found, part, laid, dryness_for(found.hull.work, laid.coat, kind))
    closes = None if laid.product.sand_between else ground.drying.closes(found.hull.work, laid.coat)
    if closes is not None and laid.coat.sanded_at is None:
        _in_time(found, part, laid.coat, closes)


def _in_time(found: HullSteps, part: Part, coat: Coat, closes: int) -> None:
    """The next coat goes on before the window of a coat that lies there closes, or costs a sanding."""
    first, sanding = part.steps[0], sanding_of(found.ground, _hours(part))
    if closes <= 0:
        found.steps[first.key] = replace(found.steps[first.key], sittings=(sanding, *first.sittings))
        return
    since = min(0, found.ground.grid.before(coat.at))
    lies = Step(key=key_of(found.hull, part.spec, "under"), job=first.job, title=part.spec.name, since=since)
    found.steps[lies.key] = lies
    most = closes - since
    found.links.append(
        Link(before=lies.key, after=first.key, since=Since.START, least=None, most=most, sanding=sanding)
    )


def _hours(part: Part) -> float:
    """Hours of the first step of a part, h."""
    return part.steps[0].labour / SLOTS_AN_HOUR


def _held(found: HullSteps) -> None:
    """What else stops a stage: an open change order, the day on which the boat comes, what the rules name a day for."""
    ground, work = found.ground, found.hull.work
    arrives = ground.grid.after(ground.grid.clock(found.hull.hull.arrived_on, MORNING))
    for part in found.parts.values():
        if not part.steps:
            continue
        first = part.steps[0].key
        if order := ground.approvals.stops(found.hull.hull.pk, work, part.spec):
            hold(found, first, order)
        hold(found, first, Hold(until=arrives, why="arrival", words=""))
        for finding in part.status.findings:
            if finding.refuses and finding.earliest and finding.rule not in OWN_WAY:
                until = ground.grid.after(finding.earliest)
                hold(found, first, Hold(until=until, why=finding.rule, words=str(finding.words)))
