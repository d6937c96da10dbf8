"""What somebody says of the work that their boat needs."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from stages.engine.errors import EngineError
from stages.engine.route import Scope
from stages.engine.vocab import Condition, Damage, Surface

MOST_PIECES = 200  # of one kind on one boat; more is a slip of the pen


class Outside(StrEnum):
    """What becomes of the canvas."""

    LATEX = "latex"
    OIL = "oil"
    PAINT = "paint"
    LEAVE = "leave"


class Finish(StrEnum):
    """What becomes of a varnished surface."""

    STRIP = "strip"
    VARNISH = "varnish"
    LEAVE = "leave"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What a boat needs, by the one who does it.

    Parameters
    ----------
    outside : Outside
        A new canvas, by its filler, or new paint on the old one, or nothing.
    inside, brightwork : Finish
        Old finish off and varnished anew, varnished over, or nothing.
    counts : mapping of Damage to int
        Pieces to replace or mend.

    Raises
    ------
    EngineError
        A count that no boat has.
    """

    outside: Outside = Outside.LATEX
    inside: Finish = Finish.STRIP
    brightwork: Finish = Finish.VARNISH
    counts: Mapping[Damage, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for damage, count in self.counts.items():
            if not 0 <= count <= MOST_PIECES:
                raise EngineError(damage, f"A count runs from 0 to {MOST_PIECES}.")

    @property
    def new_canvas(self) -> bool:
        """Whether the old canvas comes off and a new one goes on."""
        return self.outside in (Outside.LATEX, Outside.OIL)

    @property
    def mends_wood(self) -> bool:
        """Whether any wood is replaced or mended."""
        return any(self.counts.values())

    @property
    def disturbs_old_finish(self) -> bool:
        """Whether old paint, varnish or filler is taken off or sanded."""
        kept = self.outside is Outside.LEAVE and {self.inside, self.brightwork} == {Finish.LEAVE}
        return self.mends_wood or not kept

    @property
    def does_nothing(self) -> bool:
        """Whether all is left as it is."""
        return not self.disturbs_old_finish

    def count(self, damage: Damage) -> int:
        """How many pieces of a kind."""
        return self.counts.get(damage, 0)

    def scope(self, area_m2: float = 0.0) -> Scope:
        """What narrows a route to this boat; the inside is varnished before the canvas goes on."""
        stripped = {Surface.INSIDE: self.inside, Surface.BRIGHTWORK: self.brightwork}
        return Scope(
            counts=self.counts,
            conditions={
                surface: Condition.FLAKING if finish is Finish.STRIP else Condition.SOUND
                for surface, finish in stripped.items()
            },
            choices={"filler": str(self.outside) if self.new_canvas else "", "inside": "before"},
            area_m2=area_m2,
        )
