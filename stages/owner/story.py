"""What happened to a boat, day by day, in words and photos that its owner may see."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from hulls.photo_shown import Shown
from shop.stored import stored
from stages.engine.log import EntryKind, LogEntry, in_force
from stages.engine.route import Route, StageSpec
from stages.engine.vocab import Gate
from stages.owner.days import day
from stages.owner.kinds import THE

TOLD = frozenset({EntryKind.ARRIVED, EntryKind.COAT, EntryKind.FINISHED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One day of the story: what was done on it, and its shared photos."""

    on: date
    says: str
    lines: tuple[str, ...]
    photos: tuple[Shown, ...]


def story(route: Route, log: Iterable[LogEntry], photos: Iterable[Shown], today: date) -> tuple[Day, ...]:
    """What happened, the latest day first.

    Parameters
    ----------
    route : Route
        The route that the boat started with.
    log : iterable of LogEntry
        Its log, strikes included; what was struck is not told.
    photos : iterable of Shown
        The photos that are shared with its owner.
    today : date
        The day that it is told on.
    """
    told: dict[date, list[LogEntry]] = {}
    numbers: dict[int, int] = {}
    so_far: Counter[str] = Counter()
    for entry in in_force(log):
        if entry.kind is EntryKind.COAT:
            so_far[entry.stage] += 1
            numbers[entry.id] = so_far[entry.stage]
        if entry.kind in TOLD:
            told.setdefault(timezone.localtime(entry.at).date(), []).append(entry)
    shown: dict[date, list[Shown]] = {}
    for photo in photos:
        shown.setdefault(timezone.localtime(photo.taken_at).date(), []).append(photo)
    return tuple(
        Day(
            on=on,
            says=day(on, today),
            lines=tuple(told_lines(route, told.get(on, []), numbers)),
            photos=tuple(shown.get(on, ())),
        )
        for on in sorted({*told, *shown}, reverse=True)
    )


def told_lines(route: Route, entries: list[LogEntry], numbers: Mapping[int, int]) -> Iterable[str]:
    """What is told of lines of the log; ``numbers`` counts the coats of each stage by the line's number."""
    for (kind, stage), found in groupby(entries, key=lambda e: (e.kind, e.stage)):
        if kind is EntryKind.ARRIVED:
            yield _("Your boat came in")
        elif kind is EntryKind.COAT:
            yield _coats(route.by_key[stage], [numbers[entry.id] for entry in found])
        else:
            spec = route.by_key[stage]
            over = Gate.HAND_OVER in spec.gates
            yield _("Your boat was handed over") if over else _("Finished: %(step)s") % {"step": stored(spec.name)}


def _coats(spec: StageSpec, numbers: list[int]) -> str:
    if spec.coats <= 1 and spec.product:
        return capfirst(_("%(the)s went on") % {"the": _(THE[spec.product])})
    gaps = {"step": stored(spec.name), "first": numbers[0], "last": numbers[-1], "n": max(spec.coats, numbers[-1])}
    if len(numbers) > 1:
        return _("%(step)s: coats %(first)s to %(last)s of %(n)s") % gaps
    return _("%(step)s: coat %(last)s of %(n)s") % gaps
