"""What is known of a product and of its packs."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from hulls.takeoff.duck import duck_kg_m2
from hulls.takeoff.errors import TakeOffError, check_over_zero, check_share
from hulls.takeoff.film import theoretical_m2_per_l
from hulls.takeoff.grades import check_grade

UNITS = ("L", "kg", "m2", "m", "pc")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """A size in which a product is sold.

    Parameters
    ----------
    amount : float
        What it holds, in the product's unit.
    called : str
        What people call it.
    price : Decimal or None
        Of one pack; None where nobody knows it.
    roll_width_in : float or None
        Width of the roll, in inches, as rolls are sold; for canvas.

    Raises
    ------
    TakeOffError
        For an empty pack, a price of nothing or less, a roll without width.
    """

    amount: float
    called: str = ""
    price: Decimal | None = None
    roll_width_in: float | None = None

    def __post_init__(self) -> None:
        check_over_zero("amount", self.amount, "A pack holds more than nothing.")
        if self.price is not None and not (self.price.is_finite() and self.price > 0):
            raise TakeOffError("price", "A price is over zero; leave it empty where nobody knows it.")
        if self.roll_width_in is not None:
            check_over_zero("roll_width_in", self.roll_width_in, "A roll is wider than nothing.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One product, as far as amounts depend on it.

    Parameters
    ----------
    name : str
        Generic name.
    kind : str
        What it is for, by the shop's names of the kinds of products.
    unit : str
        What an amount of it is counted in: ``L``, ``kg``, ``m2``, ``m`` or ``pc``.
    spread_m2_per_unit : float or None
        What one unit covers in one coat, m², before anything is lost.
    solids, dry_film_um : float or None
        Share of solids of the volume and dry film of one coat, µm: the spreading rate where no other is known.
    loss : float
        Share that stays in the pot and the brush, 0 to under 1.
    oil_based : bool
        Brushes and spills are cleaned with solvent.
    sanded : bool
        It is sanded before the next coat.
    grit : int or None
        P-grade of an abrasive, by FEPA 43 and ISO 6344.
    duck_number : int or None
        Number of a cotton duck.
    length_mm : float or None
        Of a tack or a screw.
    pieces_per_kg : float or None
        How many of them weigh 1 kg.
    part : str
        For which part of the hull a timber is: ``ribs``, ``planks``, ``stems``, ``inwales``, ``decks``, ``outwales``.
    keeps_days, keeps_open_days : int or None
        How long it keeps unopened and once opened; None where it keeps for years.
    packs : tuple of Pack
        The sizes that it comes in.

    Raises
    ------
    TakeOffError
        For a number that cannot be.
    """

    name: str
    kind: str
    unit: str = "L"
    spread_m2_per_unit: float | None = None
    solids: float | None = None
    dry_film_um: float | None = None
    loss: float = 0.0
    oil_based: bool = False
    sanded: bool = False
    grit: int | None = None
    duck_number: int | None = None
    length_mm: float | None = None
    pieces_per_kg: float | None = None
    part: str = ""
    keeps_days: int | None = None
    keeps_open_days: int | None = None
    packs: tuple[Pack, ...] = ()

    def __post_init__(self) -> None:
        if not self.name or not self.kind:
            raise TakeOffError("name", "A product has a name and a kind.")
        if self.unit not in UNITS:
            raise TakeOffError("unit", f"Amounts are counted in {', '.join(UNITS)}, not in “{self.unit}”.")
        if self.spread_m2_per_unit is not None:
            check_over_zero("spread_m2_per_unit", self.spread_m2_per_unit, "A unit covers more than nothing.")
        check_share("loss", self.loss, "What is lost is a share from 0 to under 1.")
        if self.pieces_per_kg is not None:
            check_over_zero("pieces_per_kg", self.pieces_per_kg, "A kilogram holds some pieces.")
        for name in ("keeps_days", "keeps_open_days"):
            if getattr(self, name) is not None:
                check_over_zero(name, getattr(self, name), "What keeps at all keeps a day or more.")
        if self.duck_number is not None:
            duck_kg_m2(self.duck_number)
        if self.grit is not None:
            check_grade(self.grit)

    @property
    def lasts_days(self) -> int | None:
        """How long a pack serves that is bought and opened when it is first needed; None where it keeps for years."""
        return min((days for days in (self.keeps_days, self.keeps_open_days) if days is not None), default=None)

    @property
    def covers_m2(self) -> float | None:
        """What one unit covers in one coat, m²: by its own rate, else by its solids and film; None where neither."""
        if self.spread_m2_per_unit is not None:
            return self.spread_m2_per_unit
        if self.unit == "L" and self.solids is not None and self.dry_film_um is not None:
            return theoretical_m2_per_l(self.solids, self.dry_film_um)
        return None


def first_of(
    materials: Sequence[Material], kind: str, *, grit: int | None = None, part: str | None = None
) -> Material | None:
    """Give the first product of a kind, and of a grit or for a part where one is asked for."""
    return next(
        (m for m in materials if m.kind == kind and grit in (None, m.grit) and part in (None, m.part)),
        None,
    )
