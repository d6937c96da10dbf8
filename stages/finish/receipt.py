"""What is on record of a hand-over: to whom, what was talked through, what went along, and the signature."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from stages.engine.log import LogEntry

HANDED = "handed"  # what the line of a hand-over that was signed for holds it under


def receipt_of(lines: Sequence[LogEntry], names: Mapping[int, str]) -> dict[str, Any] | None:
    """What a boat's owner signed for, out of the lines in force; None where it went home without."""
    for line in reversed(lines):
        if HANDED in line.details:
            return {**line.details[HANDED], "at": line.at.isoformat(), "by": names.get(line.by or 0, "")}
    return None


def leans_on_paper(lines: Iterable[LogEntry], photo: int) -> bool:
    """Whether a hand-over in force was signed for on the paper of a photo."""
    return any(line.details[HANDED].get("paper") == photo for line in lines if HANDED in line.details)
