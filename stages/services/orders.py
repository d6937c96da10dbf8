"""What a writer hands to a service, and what it gets back."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from shop.models import CrewMember, Lot
from stages.engine.findings import Finding
from stages.engine.log import EntryKind
from stages.models import Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """Who does it, when it happened, and the sender's own number for it.

    Parameters
    ----------
    by : CrewMember
        Who records it.
    at : datetime
        When it happened, aware.
    client_id : UUID
        Made by the sender: the same twice is one entry.
    override : str
        The shop owner's reason for going ahead in spite of a refusal.
    recorded_at : datetime or None
        When it was recorded; None for now. Only the demo shop, which lives through weeks in a second, sets it.
    """

    by: CrewMember
    at: datetime
    client_id: UUID
    override: str = ""
    recorded_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Guest:
    """A boat's owner behind the progress link, who has no log-in: when it happened, and the sender's own number."""

    at: datetime
    client_id: UUID
    recorded_at: datetime | None = None

    @property
    def by(self) -> None:
        """Nobody of the crew."""
        return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """What a coat takes out of one locked lot, in the product's unit."""

    lot: Lot
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """What is to be written into the log, and what it draws from the stores."""

    kind: EntryKind
    stage: str = ""
    details: Mapping[str, Any] = field(default_factory=dict)
    draws: tuple[Draw, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What became of a use case.

    Parameters
    ----------
    entry : Entry or None
        The line that was written; None when it was refused or somebody was faster.
    findings : tuple of Finding
        What the rules said of it.
    already : Entry or None
        The line by which somebody else had done the same before.
    repeated : bool
        The same ``client_id`` had been sent before; ``entry`` is the line from then.
    """

    entry: Entry | None = None
    findings: tuple[Finding, ...] = ()
    already: Entry | None = None
    repeated: bool = False

    @property
    def done(self) -> bool:
        """Whether the line is in the log, now or from before."""
        return self.entry is not None

    @property
    def refused(self) -> bool:
        """Whether the rules refused it."""
        return self.entry is None and self.already is None
