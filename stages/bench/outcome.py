"""One line of the planner's table: ours, a named reference of the same run, and the ratio."""

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One line.

    Parameters
    ----------
    name, unit : str
        What was measured, in what; less is better unless the aim says otherwise.
    ours : float
        Median over the seeds.
    peer : str
        What it is measured beside.
    theirs : float or None
        The same of the peer.
    ratio : float or None
        Median over the seeds of ours by theirs.
    aim : str
        What we want to reach.
    """

    name: str
    unit: str
    ours: float
    peer: str = ""
    theirs: float | None = None
    ratio: float | None = None
    aim: str = ""

    def as_row(self) -> dict[str, Any]:
        """The line as plain values."""
        return {
            "name": self.name,
            "unit": self.unit,
            "ours": round(self.ours, 3),
            "reference": self.peer,
            "theirs": None if self.theirs is None else round(self.theirs, 3),
            "ratio": None if self.ratio is None else round(self.ratio, 4),
            "aim": self.aim,
        }
