"""What a change order begins with: the find, the steps that it touches, and the hours more that they ask for."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from stages.engine.log import EntryKind
from stages.engine.route import StageSpec
from stages.engine.vocab import Damage
from stages.engine.work import Work
from stages.models import Entry
from stages.planner.hours import USUAL, HoursBelief
from stages.queries import learnt_hours
from stages.queries.estimate_hours import to_tenths
from stages.queries.sheet_log import counts_in_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What a change order is filled in with; ``find`` is the line of the log, None where there is none."""

    find: int | None
    words: str
    stages: tuple[str, ...]
    hours: Decimal


def touchable(work: Work) -> tuple[StageSpec, ...]:
    """The stages that a change order may touch: all of the plan that are still to be done or in hand."""
    return tuple(spec for spec in work.route.stages if work.open(spec))


def proposal(work: Work, hull_id: int, line: int | None) -> Proposal:
    """A change order for a find that the log tells of; an empty one where it tells of none."""
    entry = Entry.objects.filter(hull_id=hull_id, number=line, kind=EntryKind.FOUND).first() if line else None
    if entry is None:
        return Proposal(find=None, words="", stages=(), hours=Decimal(0))
    damage, count = Damage(entry.details["damage"]), int(entry.details["count"])
    touched = [spec for spec in touchable(work) if spec.counted is damage]
    hours = sum((_more(work, spec, count, learnt_hours.beliefs()) for spec in touched), Decimal(0))
    words = ". ".join(filter(None, (counts_in_words({damage: count}), entry.details.get("note", ""))))
    return Proposal(find=entry.number, words=words, stages=tuple(spec.key for spec in touched), hours=hours)


def _more(work: Work, spec: StageSpec, count: int, beliefs: Mapping[str, HoursBelief]) -> Decimal:
    """Hours that a stage asks for on top of what it did before the find."""
    counted = spec.counted
    assert counted is not None
    before = replace(work.scope, counts={**work.scope.counts, counted: work.scope.counts.get(counted, 0) - count})
    hours_before = spec.hours(before) if spec.when.holds(before) else 0.0
    return to_tenths((spec.hours(work.scope) - hours_before) * beliefs.get(spec.key, USUAL).factor)
