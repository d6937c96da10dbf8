"""What a hull's log tells beside the layers: who signed which step off, what was set aside and why, what was mended."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from stages.engine.log import EntryKind, LogEntry
from stages.engine.work import Work

Names = Mapping[int, str]


def signed_off(work: Work, names: Names) -> list[dict[str, Any]]:
    """The steps that are finished, in the order of the route, each with the moment and who said so."""
    found = []
    for spec in work.route.stages:
        record = work.state.stage(spec.key)
        if record.finished_at and not record.left_out and spec.when.holds(work.scope):
            by = names.get(record.finished_by or 0, "")
            found.append({"stage": spec.key, "step": spec.name, "at": record.finished_at.isoformat(), "by": by})
    return found


def overrides(work: Work, lines: Sequence[LogEntry], names: Names) -> list[dict[str, Any]]:
    """What the shop's owner went ahead with in spite of a rule, with the reason written then."""
    return [
        {
            "at": line.at.isoformat(),
            "by": names.get(line.by or 0, ""),
            "step": work.route.by_key[line.stage].name if line.stage in work.route.by_key else "",
            "rule": item["rule"],
            "words": item["words"],
            **({"said": item["said"]} if "said" in item else {}),
            "reason": item["reason"],
        }
        for line in lines
        for item in line.details.get("overrides", ())
    ]


def mended(work: Work, lines: Sequence[LogEntry]) -> list[dict[str, Any]]:
    """Wood and fittings renewed: what the survey and later finds counted, where the step that mends it is finished."""
    found = []
    for spec in work.route.stages:
        damage, record = spec.counted, work.state.stage(spec.key)
        count = work.state.counts.get(damage, 0) if damage else 0
        if damage is None or not count or record.finished_at is None or record.left_out:
            continue
        found.append(
            {
                "damage": str(damage),
                "count": count,
                "places": list(_places(str(damage), lines)),
                "notes": list(_notes(str(damage), lines)),
                "step": spec.name,
                "at": record.finished_at.isoformat(),
            }
        )
    return found


def moisture(work: Work) -> list[dict[str, Any]]:
    """The wood's moisture as it was measured, in percent of dry mass."""
    return [{"at": m.at.isoformat(), "pct": m.moisture_pct, "spot": m.spot} for m in work.state.moisture]


def people(lines: Iterable[LogEntry]) -> set[int]:
    """The numbers of all who wrote lines."""
    return {line.by for line in lines if line.by is not None}


def _places(damage: str, lines: Sequence[LogEntry]) -> Iterator[list[Any]]:
    """Where it was, by the last survey that says so."""
    surveys = [line for line in lines if line.kind is EntryKind.SURVEY and damage in line.details.get("places", {})]
    if surveys:
        yield from surveys[-1].details["places"][damage]


def _notes(damage: str, lines: Sequence[LogEntry]) -> Iterator[str]:
    for line in lines:
        if line.kind is EntryKind.FOUND and line.details["damage"] == damage and line.details.get("note"):
            yield line.details["note"]
