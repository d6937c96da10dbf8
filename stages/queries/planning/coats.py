"""The coats of a stage as steps: each dries before the next, cures on the rack where that takes long, and airs."""

from collections.abc import Iterator
from dataclasses import replace

from django.utils.translation import gettext as _

from stages.engine.assess import StageStatus
from stages.engine.label import Dryness
from stages.engine.products import Product
from stages.engine.route import StageSpec
from stages.engine.rules.outdoors import airing, dry_days_done
from stages.engine.vocab import StationKind
from stages.planner.problem import Held, Hold, Link, Since, Step
from stages.planner.timegrid import SLOTS_AN_HOUR
from stages.queries.planning.ground import AIRING, OUTDOORS, Ground
from stages.queries.planning.part import Part, key_of, step_of, use_of
from stages.queries.planning.practice import DRIES_IN_PLACE, EVENING, LONG_CURE, MORNING, SANDING_SHARE
from stages.queries.work import InWork

ON_THE_DAY = (EVENING.hour - MORNING.hour) * SLOTS_AN_HOUR  # an evening sooner than this is that of the coat's own day


def coats_of(ground: Ground, hull: InWork, status: StageStatus) -> Part:
    """A stage of coats as a part of the problem; nothing where all are on and dry."""
    spec, product = status.spec, hull.work.product_for(status.spec)
    steps, links, last = list[Step](), list[Link](), ""
    for number, hours in enumerate(ground.hours.of_coats(hull.work, spec), start=status.record.coats_on + 1):
        made = tuple(_coat(ground, hull, spec, product, number, hours))
        if last and product:
            links.append(lag(ground, product, between(product), spec.station, (last, made[0].key), hours))
        if steps and steps[-1].key != last:
            links.append(Link(before=steps[-1].key, after=made[0].key))  # it comes back from its cure
        links += [Link(before=made[0].key, after=cure.key) for cure in made[1:]]
        steps += made
        last = made[0].key
    ends = [steps[-1].key] if steps else []
    if out := _airing(ground, hull, status, product, last):
        links += [Link(before=last, after=out.key, since=Since.HANDS, least=ON_THE_DAY)] if last else []
        steps, ends = [*steps, out], [*ends, out.key]
    return Part(
        status=status,
        steps=tuple(steps),
        links=tuple(links),
        ends=tuple(ends),
        hold=None if steps else _finishing(ground, hull, spec),
        last=last,
        product=product,
    )


def _coat(
    ground: Ground, hull: InWork, spec: StageSpec, product: Product | None, number: int, hours: float
) -> Iterator[Step]:
    """A coat, and its cure elsewhere where that takes long."""
    key, tag, kind = key_of(hull, spec, number), hull.work.tag, spec.station
    title = spec.name
    if spec.coats > 1:
        title = _("%(step)s, coat %(n)s of %(of)s") % {"step": spec.name, "n": number, "of": spec.coats}
    hold = ground.stores.get((tag, spec.key, number))
    step = step_of(ground, hull, spec, hours, key=key, title=title, holds=(hold,) if hold else ())
    if product and product.dry_days_outdoors:
        step = replace(step, weather=OUTDOORS)
    if product is None or product.label is None:
        yield step
        return
    needed = Dryness.HANDLE if number == spec.coats else between(product)
    dries, movable = (ground.drying.slots(product, dryness, kind) for dryness in (needed, Dryness.TACK_FREE))
    carried = dries > LONG_CURE and movable < dries and not product.dry_days_outdoors
    held = Held.READY if kind in DRIES_IN_PLACE else Held.HANDS
    yield replace(step, dry=movable if carried else dries, uses=use_of(kind, held))
    if carried:
        title = _("%(step)s, coat %(n)s cures") % {"step": spec.name, "n": number}
        rack = use_of(StationKind.RACK, Held.READY) if ground.racks else ()
        yield Step(key=f"{key}/cure", job=tag, title=title, kind=spec.key, dry=dries - movable, uses=rack)


def between(product: Product) -> Dryness:
    """How dry a coat must be for the next one of the same stage."""
    return Dryness.SAND if product.sand_between else Dryness.RECOAT


def lag(
    ground: Ground, product: Product, dryness: Dryness, kind: StationKind | None, ends: tuple[str, str], hours: float
) -> Link:
    """From a coat to what goes on it, a stage of so many hours: dry enough, and before its recoat window closes."""
    least = ground.drying.slots(product, dryness, kind)
    window = None if product.sand_between else ground.drying.window(product, kind)
    return Link(
        before=ends[0],
        after=ends[1],
        since=Since.HANDS,
        least=least,
        most=max(window, least) if window is not None else None,
        sanding=sanding_of(ground, hours) if window is not None else None,
    )


def sanding_of(ground: Ground, hours: float) -> int:
    """What a sanding after a missed window takes, slots."""
    return max(1, round(SANDING_SHARE * hours * SLOTS_AN_HOUR))


def _airing(ground: Ground, hull: InWork, status: StageStatus, product: Product | None, last: str) -> Step | None:
    """The rain-free days that a hull still stays outdoors for, each a short sitting of nobody in its evening."""
    work, spec = hull.work, status.spec
    if product is None or not product.dry_days_outdoors:
        return None
    coat = airing(work)
    if last:
        days, since = product.dry_days_outdoors, None
    elif coat and coat.stage == spec.key:
        days = product.dry_days_outdoors - dry_days_done(work, coat, ground.hours.now)
        stands_there = work.station is not None and work.station.kind is spec.station
        since = min(0, ground.grid.before(coat.at)) if stands_there else None
    else:
        return None
    if days <= 0:
        return None
    return Step(
        key=key_of(hull, spec, "out"),
        job=work.tag,
        title=_("Rain-free days outdoors"),
        sittings=(1,) * days,
        uses=use_of(spec.station),
        weather=AIRING,
        kind=spec.key,
        since=since,
    )


def _finishing(ground: Ground, hull: InWork, spec: StageSpec) -> Hold | None:
    """What the end of a stage waits for whose coats are all on."""
    top = hull.work.state.top(spec.surface) if spec.surface else None
    if top is None:
        return None
    until = ground.drying.since(hull.work, top, Dryness.HANDLE)
    return Hold(until=until, why="drying", words=hull.work.product(top).name) if until > 0 else None
