"""A hull is in one place at a time: its stages one after the other, and the place that it holds now."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import pairwise

from django.utils.translation import gettext as _

from stages.engine.label import Dryness
from stages.engine.vocab import StationKind, Surface
from stages.planner.problem import Begun, Held, Link, Since, Step
from stages.planner.timegrid import LONGEST_SITTING, SLOT_MIN, cut
from stages.queries.planning.hull import HullSteps, before
from stages.queries.planning.part import Part, use_of
from stages.queries.planning.people import key_of
from stages.queries.planning.practice import DRIES_IN_PLACE, LONG_CURE


def one_place(found: HullSteps) -> None:
    """Set the stages of a hull that need a station one after the other, and hold the place where it stands."""
    chain = [part for part in _chain(found) if part.spec.station]
    for earlier, later in pairwise(chain):
        if earlier.spec.key not in {part.spec.key for part in before(found, later.spec.key)}:
            since = Since.READY if earlier.spec.station in DRIES_IN_PLACE else Since.HANDS
            found.links += [Link(before=end, after=later.steps[0].key, since=since) for end in earlier.ends]
    _stand(found, chain)


def _chain(found: HullSteps) -> list[Part]:
    """The stages in an order in which they can be worked: what is in hand first, then what waits least."""
    order: list[Part] = []
    left = {key: part for key, part in found.parts.items() if part.steps}
    while left:
        free = [part for part in left.values() if not any(b.spec.key in left for b in before(found, part.spec.key))]
        first = min(free, key=lambda part: _rank(found, part))
        order.append(left.pop(first.spec.key))
    return order


def _rank(found: HullSteps, part: Part) -> tuple[bool, int, int]:
    return part.status.record.started_at is None, _waits(found, part), part.spec.position


def _waits(found: HullSteps, part: Part) -> int:
    return found.steps[part.steps[0].key].earliest


def _stand(found: HullSteps, chain: list[Part]) -> None:
    work = found.hull.work
    station, stay = work.station, work.state.stay
    if station is None or stay is None:
        return
    since = min(0, found.ground.grid.before(stay.since))
    open_now = [part for part in found.parts.values() if part.steps and not _behind(found, part)]
    wait = min((_waits(found, part) for part in open_now), default=0)
    here = next(iter(chain), None)
    if here in open_now and here.spec.station is station.kind and not _waits(found, here):
        step = found.steps[here.steps[0].key]
        if step.since is None:
            found.steps[step.key] = replace(step, since=since)
        return
    until = wait if wait <= LONG_CURE or station.kind is StationKind.RACK else _soft_until(found)
    if until > 0:
        key = f"{work.tag}/stands"
        title = _("Stands at %(station)s") % {"station": station.name}
        uses = use_of(station.kind, Held.READY)
        found.steps[key] = Step(key=key, job=work.tag, title=title, uses=uses, dry=until - since, since=since)


def _soft_until(found: HullSteps) -> int:
    """Until when a hull cannot be carried away for its soft coats."""
    work = found.hull.work
    tops = [coat for surface in Surface if (coat := work.state.top(surface))]
    return max((found.ground.drying.since(work, coat, Dryness.TACK_FREE) for coat in tops), default=0)


def _behind(found: HullSteps, part: Part) -> bool:
    """Whether a stage has steps of others before it."""
    return any(one.steps for one in before(found, part.spec.key))


@dataclass(frozen=True, slots=True, kw_only=True)
class AtWork:
    """The slots between which somebody is at work just now: from zero or before, until after it."""

    since: int
    until: int


def sit_down(hulls: Iterable[HullSteps], at_work: Mapping[int, AtWork]) -> None:
    """Let whoever started a step last, and is in the shop, be at it."""
    latest: dict[int, tuple[datetime, HullSteps, Step]] = {}
    for found in hulls:
        for person, at, step in _in_hand(found):
            if person in at_work and (person not in latest or at > latest[person][0]):
                latest[person] = (at, found, step)
    for person, (at, found, step) in latest.items():
        found.steps[step.key] = _begun(step, person, found.ground.grid.before(at), at_work[person])


def _in_hand(found: HullSteps) -> Iterator[tuple[int, datetime, Step]]:
    """Steps in hand on which nothing is recorded since their start: who started them, and when."""
    for part in found.parts.values():
        record = part.status.record
        step = found.steps[part.steps[0].key] if part.steps else None
        if step is None or step.since is None or not step.sittings or record.coats_on:
            continue
        if record.started_at is not None and record.started_by is not None:
            yield record.started_by, record.started_at, step


def _begun(step: Step, person: int, started: int, hours: AtWork) -> Step:
    ahead = min(step.labour, hours.until, LONGEST_SITTING)
    start = min(0, max(started, hours.since))
    rest = cut((step.labour - ahead) * SLOT_MIN, max(step.sittings))
    since = min(step.since or 0, start)
    begun = (Begun(start=start, person=key_of(person)),)
    return replace(step, sittings=(ahead - start, *rest), begun=begun, since=since)
