"""What the log of one hull adds up to: stages, stacks of coats, place and facts."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from stages.engine.vocab import Answer, Condition, Damage, Paper, Surface


@dataclass(frozen=True, slots=True, kw_only=True)
class Coat:
    """One coat on one surface.

    ``entry`` is the log line that recorded it, ``number`` its count within its stage from 1, or 0 for a coat that the
    plan did not ask for; ``product`` and ``zone``
    are the shop's numbers; ``sanded_at`` is when its top was sanded, if it was.
    """

    entry: int
    stage: str
    surface: Surface
    product: int
    zone: int
    at: datetime
    number: int
    lot: str = ""
    sanded_at: datetime | None = None
    sanded_grit: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StageRecord:
    """What was recorded of one stage; ``hours`` are those that hands said it took, h, all its finishes together."""

    started_at: datetime | None = None
    started_by: int | None = None
    finished_at: datetime | None = None
    finished_by: int | None = None
    left_out: str = ""
    wet_method: bool = False
    coats_on: int = 0
    rags_due_since: datetime | None = None
    hours: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """Where a hull stood from ``since`` on: station, place (from 1) and zone; ``station`` None is off the floor."""

    station: int | None
    place: int
    zone: int | None
    since: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class MoistureReading:
    """Wood moisture content in percent of dry mass, at a moment and a spot."""

    at: datetime
    moisture_pct: float
    spot: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """What the owner was asked to agree to: an estimate or a change order, its version, and the answer so far.

    ``stages`` are the keys of those that wait for the answer; an estimate stops none by name.
    """

    paper: Paper
    version: int
    digest: str
    stages: tuple[str, ...] = ()
    answer: Answer = Answer.OPEN
    at: datetime | None = None

    @property
    def is_open(self) -> bool:
        """Whether there is no answer yet."""
        return self.answer is Answer.OPEN


@dataclass(frozen=True, slots=True, kw_only=True)
class HullState:
    """The sum of a hull's log.

    ``old_finish`` holds the surfaces that still carry the finish with which the boat came in, and its condition;
    ``old_sanded`` when such a surface was sanded. ``lead`` is None before a test, else whether it was positive.
    ``agreements`` holds the last version of each estimate and change order that was sent, by what it is called.
    """

    arrived_at: datetime | None = None
    handed_over_at: datetime | None = None
    stages: Mapping[str, StageRecord] = field(default_factory=dict)
    stacks: Mapping[Surface, tuple[Coat, ...]] = field(default_factory=dict)
    stays: tuple[Stay, ...] = ()
    old_finish: Mapping[Surface, Condition] = field(default_factory=dict)
    old_sanded: Mapping[Surface, datetime] = field(default_factory=dict)
    counts: Mapping[Damage, int] = field(default_factory=dict)
    lead: bool | None = None
    moisture: tuple[MoistureReading, ...] = ()
    agreements: Mapping[str, Agreement] = field(default_factory=dict)

    def stage(self, key: str) -> StageRecord:
        """What was recorded of a stage; an empty record before anything was."""
        return self.stages.get(key, NOTHING_RECORDED)

    def stack(self, surface: Surface) -> tuple[Coat, ...]:
        """The coats on a surface, from the wood outward."""
        return self.stacks.get(surface, ())

    def top(self, surface: Surface) -> Coat | None:
        """The outermost coat on a surface."""
        stack = self.stack(surface)
        return stack[-1] if stack else None

    @property
    def stay(self) -> Stay | None:
        """Where the hull stands now; None when it is not on the floor."""
        return self.stays[-1] if self.stays and self.stays[-1].station is not None else None


NOTHING_RECORDED = StageRecord()
