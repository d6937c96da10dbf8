"""What a boat leaves to the shop: what was charged before tax, less what it cost."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Margin:
    """A boat's margin.

    Parameters
    ----------
    charged : Decimal
        Before tax.
    materials : Decimal
        At what they cost the shop.
    hours : Decimal
        Hours on record, h.
    hour_cost : Decimal
        What an hour costs the shop.
    subcontracts : Decimal
        Work of others, at what is charged for it: the shop adds nothing.
    """

    charged: Decimal
    materials: Decimal
    hours: Decimal
    hour_cost: Decimal
    subcontracts: Decimal

    @property
    def work(self) -> Decimal:
        """What the hours cost the shop."""
        return self.hours * self.hour_cost

    @property
    def left(self) -> Decimal:
        """What is left; below zero the boat cost more than it brought."""
        return self.charged - self.materials - self.work - self.subcontracts

    @property
    def pct(self) -> Decimal | None:
        """The same in percent of what was charged; None where nothing was."""
        return 100 * self.left / self.charged if self.charged else None
