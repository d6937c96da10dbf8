"""Routes as data: the graph of stages that a hull goes through, and how a survey narrows it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from stages.engine.errors import EngineError
from stages.engine.label import Dryness
from stages.engine.vocab import Condition, Damage, Gate, ProductKind, StationKind, Surface


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """What narrows a route to one hull: what the survey counted and found, and what its owner chose.

    Parameters
    ----------
    counts : mapping of Damage to int
        Pieces or places to mend.
    conditions : mapping of Surface to Condition
        State of the old finish where there is one.
    choices : mapping of str to str
        The owner's and the shop's choices, such as ``{"filler": "latex"}``.
    area_m2 : float
        Outside area of the hull, m².
    """

    counts: Mapping[Damage, int] = field(default_factory=dict)
    conditions: Mapping[Surface, Condition] = field(default_factory=dict)
    choices: Mapping[str, str] = field(default_factory=dict)
    area_m2: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    """The condition under which a stage belongs to a hull's plan of work.

    Parameters
    ----------
    about : str
        ``always``, ``count``, ``choice`` or ``condition``.
    name : str
        The damage, choice or surface that is asked about.
    value : str
        The wanted choice or condition.
    """

    about: str = "always"
    name: str = ""
    value: str = ""

    @classmethod
    def parse(cls, text: str) -> "When":
        """Read ``""``, ``count:ribs``, ``choice:filler=latex`` or ``condition:brightwork=flaking``.

        Raises
        ------
        EngineError
            When the text is none of these.
        """
        if not text:
            return cls()
        about, _, rest = text.partition(":")
        name, _, value = rest.partition("=")
        if about == "count" and name in set(Damage) and not value:
            return cls(about=about, name=name)
        if about == "choice" and name and value:
            return cls(about=about, name=name, value=value)
        if about == "condition" and name in set(Surface) and value in set(Condition):
            return cls(about=about, name=name, value=value)
        raise EngineError(
            "when", f"“{text}” is not a condition. Write count:ribs, choice:filler=latex or condition:inside=flaking."
        )

    def holds(self, scope: Scope) -> bool:
        """Whether the stage belongs to the plan of a hull of this scope."""
        match self.about:
            case "count":
                return scope.counts.get(Damage(self.name), 0) > 0
            case "choice":
                return scope.choices.get(self.name) == self.value
            case "condition":
                return scope.conditions.get(Surface(self.name)) == self.value
        return True


@dataclass(frozen=True, slots=True, kw_only=True)
class DryNeed:
    """A surface whose top coat must have reached a dryness before a stage may start."""

    surface: Surface
    dryness: Dryness


@dataclass(frozen=True, slots=True, kw_only=True)
class StageSpec:
    """One stage of a route.

    Parameters
    ----------
    key, name : str
        Stable key within the route, and what the shop calls it.
    position : int
        Order in the trade's sequence.
    after : tuple of str
        Keys of the stages that must be finished or left out before.
    station : StationKind or None
        Kind of station needed; None means anywhere.
    skill : int or None
        The shop's number of what a hand must be able to do; None where everybody can.
    when : When
        Which hulls it belongs to.
    coats : int
        Number of coats that the plan asks for.
    product : ProductKind or None
        What the coats are of.
    surface : Surface or None
        Where they go.
    strips : Surface or None
        The surface that finishing this stage lays bare.
    needs : tuple of DryNeed
        What must be dry before the start.
    gates : frozenset of Gate
        Special duties.
    hours_fixed, hours_each, hours_per_m2 : float
        Hours of work: a fixed part, a part per counted damage, a part per square metre.
    counted : Damage or None
        What ``hours_each`` multiplies.
    milestone : bool
        Whether it changes the boat in its owner's eyes.
    owner_words : str
        What the boat's owner reads while it is in hand.
    caution : str
        What can hurt someone.
    """

    key: str
    name: str
    position: int = 0
    after: tuple[str, ...] = ()
    station: StationKind | None = None
    skill: int | None = None
    when: When = When()
    coats: int = 0
    product: ProductKind | None = None
    surface: Surface | None = None
    strips: Surface | None = None
    needs: tuple[DryNeed, ...] = ()
    gates: frozenset[Gate] = frozenset()
    hours_fixed: float = 0.0
    hours_each: float = 0.0
    hours_per_m2: float = 0.0
    counted: Damage | None = None
    milestone: bool = False
    owner_words: str = ""
    caution: str = ""

    def __post_init__(self) -> None:
        if not self.key:
            raise EngineError("key", "A stage needs a key.")
        if self.coats < 0 or min(self.hours_fixed, self.hours_each, self.hours_per_m2) < 0:
            raise EngineError("coats", f"“{self.name}”: coats and hours cannot be negative.")
        if self.coats and (self.product is None or self.surface is None):
            raise EngineError("product", f"“{self.name}” asks for coats: say of which kind of product and where.")

    def hours(self, scope: Scope) -> float:
        """Hours of work that this stage asks of hands, in h."""
        pieces = scope.counts.get(self.counted, 0) if self.counted else 0
        return self.hours_fixed + self.hours_each * pieces + self.hours_per_m2 * scope.area_m2


@dataclass(frozen=True, kw_only=True)
class Route:
    """A graph of stages in the trade's order.

    Raises
    ------
    EngineError
        On a double key, a stage that waits for an unknown one, or a ring of stages that wait for each other.
    """

    name: str
    version: int
    stages: tuple[StageSpec, ...]

    def __post_init__(self) -> None:
        if len(self.by_key) != len(self.stages):
            raise EngineError("key", "Two stages of the route have the same key.")
        for spec in self.stages:
            for key in spec.after:
                if key not in self.by_key:
                    raise EngineError("after", f"“{spec.name}” waits for “{key}”, which is not in the route.")
        self._refuse_rings()

    @cached_property
    def by_key(self) -> dict[str, StageSpec]:
        """The stages by key."""
        return {spec.key: spec for spec in self.stages}

    @cached_property
    def before(self) -> dict[str, frozenset[str]]:
        """By key, every stage that comes before, also by way of others: leaving one out skips none before it."""
        found: dict[str, frozenset[str]] = {}

        def of(key: str) -> frozenset[str]:
            if key not in found:
                after = self.by_key[key].after
                found[key] = frozenset(after).union(*map(of, after))
            return found[key]

        return {key: of(key) for key in self.by_key}

    def _refuse_rings(self) -> None:
        done: set[str] = set()
        left = list(self.stages)
        while left:
            free = [spec for spec in left if done.issuperset(spec.after)]
            if not free:
                raise EngineError("after", f"“{left[0].name}” and others wait for each other in a ring.")
            done.update(spec.key for spec in free)
            left = [spec for spec in left if spec.key not in done]
