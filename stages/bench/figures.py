"""One figure of `manage.py bench`: ours, a named reference measured in the same run, and the ratio."""

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One line of the table.

    Parameters
    ----------
    name, peer : str
        What was measured, and what it is measured beside.
    ours_s, peer_s : float
        Seconds of each, the median of several rounds; no `peer_s` where the reference is not installed.
    aim_s : float or None
        What we want to stay under, s.
    """

    name: str
    ours_s: float
    peer: str
    peer_s: float | None
    aim_s: float | None = None

    @property
    def ratio(self) -> float | None:
        """How many times the reference ours takes."""
        return None if self.peer_s is None else self.ours_s / self.peer_s

    def as_row(self) -> dict[str, Any]:
        """The figure as plain values."""
        return {
            "name": self.name,
            "ms": round(self.ours_s * 1000, 3),
            "reference": self.peer,
            "reference_ms": None if self.peer_s is None else round(self.peer_s * 1000, 3),
            "ratio": None if self.ratio is None else round(self.ratio, 3),
            "aim_ms": None if self.aim_s is None else round(self.aim_s * 1000, 3),
        }
