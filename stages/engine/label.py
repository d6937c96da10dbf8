"""What a product's label says about drying, as the dry clock reads it."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from stages.engine.errors import EngineError


class Dryness(StrEnum):
    """How dry a coat is, in the order of the work."""

    TACK_FREE = "tack_free"
    SAND = "sand"
    RECOAT = "recoat"
    TOPCOAT = "topcoat"  # to be covered by another kind of coat
    HANDLE = "handle"


class Family(StrEnum):
    """How a film dries: by taking up oxygen, by losing water, or by losing solvent."""

    OXIDATIVE = "oxidative"
    WATER = "water"
    SOLVENT = "solvent"


# Where a label is silent, the next dryness that stands in for it.
FALLBACK: dict[Dryness, tuple[Dryness, ...]] = {
    Dryness.TACK_FREE: (),
    Dryness.SAND: (Dryness.RECOAT,),
    Dryness.RECOAT: (),
    Dryness.TOPCOAT: (Dryness.SAND, Dryness.RECOAT),
    Dryness.HANDLE: (Dryness.RECOAT,),
}

CureKey = tuple[Family, float, float, float, float | None, tuple[tuple[float, float], ...], float]


@dataclass(slots=True, frozen=True, kw_only=True)
class Label:
    """The drying hours of a product and how they answer to the air.

    Parameters
    ----------
    family : Family
        How the film dries.
    hours : mapping of Dryness to float
        Hours at the reference condition; stored as sorted pairs so that a label can be hashed.
    reference_c, reference_rh_pct : float
        The label's condition, °C and %. 23 °C and 50 % are those of ISO 3270 (from memory).
    q10 : float, optional
        How many times faster at 10 K more, used where there is no table. Left out: 2 (rule of thumb) for oxidative and
        solvent films, 1 for water-based ones, whose temperature response lies in the vapour-pressure deficit already.
    activation_kj_mol : float, optional
        Activation energy, kJ/mol; Arrhenius' law instead of Q10 where it is given and there is no table.
    table : tuple of (float, float)
        The label's own (air °C, hours to recoat) pairs.
    lowest_c : float
        Air temperature under which the film stands still, °C.
    window_h : float, optional
        Hours at the reference after which the recoat window is closed.
    film_factor : float
        Hours for the film as laid over those for the label's film.

    Raises
    ------
    EngineError
        A value that no label can carry.
    """

    family: Family
    hours: Mapping[Dryness, float] | tuple[tuple[Dryness, float], ...]
    reference_c: float = 23.0
    reference_rh_pct: float = 50.0
    q10: float | None = None
    activation_kj_mol: float | None = None
    table: tuple[tuple[float, float], ...] = ()
    lowest_c: float = 5.0
    window_h: float | None = None
    film_factor: float = 1.0

    def __post_init__(self) -> None:
        pairs = dict(self.hours.items() if isinstance(self.hours, Mapping) else self.hours)
        ordered = tuple((dryness, float(pairs[dryness])) for dryness in Dryness if dryness in pairs)
        object.__setattr__(self, "hours", ordered)
        object.__setattr__(self, "table", tuple(sorted((float(c), float(h)) for c, h in self.table)))
        for dryness, hours in ordered:
            _positive(f"hours to {dryness}", hours, "hours")
        self._check_response()
        self._check_table()
        self._check_window()

    def _check_response(self) -> None:
        _positive("The film factor", self.film_factor, "film_factor")
        _positive("Q10", self.temperature_factor, "q10")
        if self.activation_kj_mol is not None:
            _positive("The activation energy", self.activation_kj_mol, "activation_kj_mol")
        if not -30.0 <= self.lowest_c <= self.reference_c <= 60.0:
            raise EngineError("reference_c", "The label's temperature must lie over its lowest, and both be a shop's.")
        if not 0.0 <= self.reference_rh_pct <= 99.0:
            raise EngineError("reference_rh_pct", "The label's humidity must lie between 0 and 99 %.")

    def _check_table(self) -> None:
        for celsius, hours in self.table:
            _positive("Each of the table's hours", hours, "table")
            if not -30.0 <= celsius <= 60.0:
                raise EngineError("table", f"{celsius} °C cannot stand in a label's table.")
        if len({celsius for celsius, _ in self.table}) != len(self.table):
            raise EngineError("table", "The label's table gives one temperature twice.")

    def _check_window(self) -> None:
        if self.window_h is None:
            return
        _positive("The recoat window", self.window_h, "window_h")
        opens = dict(self.hours).get(Dryness.RECOAT)
        if opens is not None and self.window_h <= opens:
            raise EngineError("window_h", "The recoat window closes before it opens.")

    @property
    def temperature_factor(self) -> float:
        """Give the Q10 in use."""
        if self.q10 is not None:
            return self.q10
        return 1.0 if self.family is Family.WATER else 2.0

    @property
    def cure_key(self) -> CureKey:
        """Give what the speed of drying hangs on; labels that share it share their sums over a log."""
        return (
            self.family,
            self.reference_c,
            self.reference_rh_pct,
            self.temperature_factor,
            self.activation_kj_mol,
            self.table,
            self.lowest_c,
        )

    def hours_to(self, dryness: Dryness) -> float | None:
        """Give the hours at the reference that this film needs, its thickness counted.

        Parameters
        ----------
        dryness : Dryness
            The state asked for.

        Returns
        -------
        float or None
            Hours; None when the label says nothing that could stand in.
        """
        said = dict(self.hours)
        for candidate in (dryness, *FALLBACK[dryness]):
            if candidate in said:
                return said[candidate] * self.film_factor
        return None


def _positive(what: str, value: float, field: str) -> None:
    if not (math.isfinite(value) and value > 0.0):
        raise EngineError(field, f"{what[0].upper()}{what[1:]} must be a number over zero, not {value}.")
