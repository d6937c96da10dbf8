"""Where on a hull a damage is: the number of the rib, counted from the bow, and the side."""

import re
from dataclasses import dataclass
from enum import StrEnum

from hulls.wording import gettext_noop
from stages.engine.errors import EngineError

MOST_RIBS = 200
MOST_PLACES = 500
_WRITTEN = re.compile(r"(\d{1,3})(?:\s*[-–]\s*(\d{1,3}))?\s*([a-z]*)")
SAYS = gettext_noop(
    "Write places like 3-5 port, 7 starboard: numbers of ribs from the bow, and the side if it matters."
)


class Side(StrEnum):
    """A side of the hull, looking towards the bow; none where the damage goes across or it does not matter."""

    NONE = ""
    PORT = "port"
    STARBOARD = "starboard"


_SIDES = {"": Side.NONE, "p": Side.PORT, "port": Side.PORT}
_SIDES |= dict.fromkeys(("s", "sb", "starboard"), Side.STARBOARD)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One place: the number of the rib from the bow, and the side.

    Raises
    ------
    EngineError
        When no hull has so many ribs.
    """

    rib: int
    side: Side = Side.NONE

    def __post_init__(self) -> None:
        if not 1 <= self.rib <= MOST_RIBS:
            raise EngineError("places", gettext_noop("Ribs are counted from 1 to 200."))


def read_places(text: str) -> tuple[Place, ...]:
    """Places as they are written at the bench: ``3-5 port, 7 s, 12``; each once, in order.

    Raises
    ------
    EngineError
        When one of them cannot be read, or runs backwards.
    """
    found: dict[Place, None] = {}
    for part in filter(None, (part.strip() for part in re.split(r"[,;\n]", text.lower()))):
        match = _WRITTEN.fullmatch(part)
        if match is None or match[3] not in _SIDES:
            raise EngineError("places", SAYS)
        first, last = int(match[1]), int(match[2] or match[1])
        if last < first:
            raise EngineError("places", SAYS)
        found |= {Place(rib=rib, side=_SIDES[match[3]]): None for rib in range(first, last + 1)}
    return tuple(found)


def write_places(places: tuple[Place, ...]) -> str:
    """Places as people read them, such as ``3 port, 4 port, 7 starboard``."""
    return ", ".join(f"{place.rib} {place.side}".strip() for place in places)
