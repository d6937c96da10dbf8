"""What a rule says: findings in plain sentences, and the question that it was asked."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from stages.engine.products import Product
from stages.engine.route import StageSpec
from stages.engine.stores import Stock
from stages.engine.vocab import Action, Severity, Surface
from stages.engine.world import Station

if TYPE_CHECKING:
    from stages.engine.work import Work


@dataclass(frozen=True, slots=True, kw_only=True)
class Degrees:
    """A temperature in a sentence, which pages show in the shop's units.

    Parameters
    ----------
    celsius : float
        Temperature, °C, or a difference of two, K.
    apart : bool
        It is a difference.
    """

    celsius: float
    apart: bool = False

    def __str__(self) -> str:
        return f"{self.celsius:.1f} °C"


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """An amount of a product in a sentence, which pages show in the shop's units.

    Parameters
    ----------
    value : float
        How much, in the unit.
    unit : str
        "L", "kg", "m2", "m" or "pc".
    """

    value: float
    unit: str

    def __str__(self) -> str:
        return f"{self.value:.3g} {self.unit}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A sentence with named gaps, kept apart from what fills them so that pages can translate it.

    Parameters
    ----------
    text : str
        Sentence with ``%(name)s`` gaps.
    values : mapping
        What fills the gaps; a nested ``Words`` is translated on its own.
    """

    text: str
    values: Mapping[str, object] = field(default_factory=dict)

    def __str__(self) -> str:
        return self.text % {key: str(value) for key, value in self.values.items()}


def say(text: str, **values: object) -> Words:
    """A sentence with its gaps filled."""
    return Words(text=text, values=values)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One rule's word on one action.

    Parameters
    ----------
    rule : str
        Id of the rule.
    severity : Severity
        Refuses, warns or cautions.
    safety : bool
        True where nobody may override it.
    words : Words
        What is wrong, in one sentence.
    clears : Words
        What clears it.
    earliest : datetime or None
        When it clears by itself at the earliest; None where hands must act or nobody knows.
    """

    rule: str
    severity: Severity
    words: Words
    clears: Words
    safety: bool = False
    earliest: datetime | None = None

    @property
    def refuses(self) -> bool:
        """Whether the action may not go ahead."""
        return self.severity is Severity.REFUSES


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """May this be done, at this moment?

    Parameters
    ----------
    action : Action
        What hands want to do.
    at : datetime
        When, aware.
    stage : StageSpec or None
        For which stage; None for a move that belongs to none.
    product, surface, zone : Product, Surface, int
        Of a coat: what, where on the hull, in the air of which zone. Of sanding: the surface.
    station : Station or None
        Where a move leads.
    wet_method : bool
        Old finish is worked wet.
    amount : float or None
        What a coat takes, in its product's unit; None for what is reckoned.
    stock : Stock or None
        What the stores hold of it, where that was read anew under a lock; None for what the world says.
    """

    action: Action
    at: datetime
    stage: StageSpec | None = None
    product: Product | None = None
    surface: Surface | None = None
    zone: int | None = None
    station: Station | None = None
    wet_method: bool = False
    amount: float | None = None
    stock: Stock | None = None


Check = Callable[["Work", Ask], Finding | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule of the trade: an entry of the rule book.

    Parameters
    ----------
    id, title : str
        Its key in the log, and its name.
    holds : str
        What must be so, in one sentence.
    actions : frozenset of Action
        What it judges.
    severity : Severity
        How hard it bites.
    reason, source : str
        Why it is there, and where that is from.
    check : callable
        ``check(work, ask)`` returns a finding, or None where all is well.
    safety : bool
        Never overridden, only met.
    standing : bool
        True where a past entry must still satisfy it when the log before it changes; False for what concerned the
        moment alone, such as a free place.
    """

    id: str
    title: str
    holds: str
    actions: frozenset[Action]
    reason: str
    source: str
    check: Check
    severity: Severity = Severity.REFUSES
    safety: bool = False
    standing: bool = True
