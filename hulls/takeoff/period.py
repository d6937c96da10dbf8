"""The question that `choose_packs` answers: what is needed when, what is in the stores, and what is to be bought."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from hulls.takeoff.errors import TakeOffError, check_over_zero
from hulls.takeoff.material import Pack

Status = Literal["optimal", "impossible"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """An amount of a product on a day.

    Parameters
    ----------
    product : str
        Its name.
    amount : float
        In its unit.
    day : int
        From today, which is 0.
    piece : float or None
        How much of the unit must be in one piece, as the length of an outwale.
    """

    product: str
    amount: float
    day: int = 0
    piece: float | None = None

    def __post_init__(self) -> None:
        check_over_zero("amount", self.amount, "What is needed is more than nothing.")
        if self.day < 0:
            raise TakeOffError("day", "What was needed before today cannot be bought for.")
        if self.piece is not None:
            check_over_zero("piece", self.piece, "A piece has some length.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """What a can or a roll in the stores still holds.

    Parameters
    ----------
    product : str
        Its name.
    amount : float
        In its unit.
    good_until : int or None
        The last day on which it may be used, from today; None where it keeps for years.
    """

    product: str
    amount: float
    good_until: int | None = None

    def __post_init__(self) -> None:
        check_over_zero("amount", self.amount, "What is left in a can is more than nothing.")

    def good_on(self, day: int) -> bool:
        """Whether it may be used on a day."""
        return self.good_until is None or day <= self.good_until


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """So many of a pack, to be there on a day and opened then."""

    product: str
    pack: Pack
    count: int
    day: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PackChoice:
    """What to buy over a period.

    Parameters
    ----------
    status : str
        ``optimal``: nothing is cheaper, by proof; ``impossible``: some product has no pack.
    counts : tuple of Bought
        By product and day.
    cost : Decimal or None
        Of all packs; None where one of them has no price.
    missing : tuple of str
        The products that cannot be had; the others are chosen all the same.
    """

    status: Status
    counts: tuple[Bought, ...]
    cost: Decimal | None
    missing: tuple[str, ...] = ()
