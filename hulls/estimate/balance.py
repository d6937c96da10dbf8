"""What a boat's owner still has to pay: what was agreed, billed and paid. Sums alone, nothing is rounded."""

from dataclasses import dataclass
from decimal import Decimal

NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """One boat's money at one moment.

    Parameters
    ----------
    agreed : Decimal
        Sum of the approved estimate and change orders, taxes included.
    billed : Decimal
        Sum of the invoices less the credit notes.
    held : Decimal
        Of ``agreed``, what those invoices were held against: their figure takes its place.
    paid : Decimal
        Deposits and payments less refunds.
    deposit : Decimal
        What was agreed to be paid before work begins.
    """

    agreed: Decimal = NOTHING
    billed: Decimal = NOTHING
    held: Decimal = NOTHING
    paid: Decimal = NOTHING
    deposit: Decimal = NOTHING

    @property
    def has_account(self) -> bool:
        """Whether anything was agreed or billed."""
        return bool(self.agreed or self.billed or self.held)

    @property
    def charged(self) -> Decimal:
        """What the job comes to: as billed, and as agreed where it was not billed yet."""
        return self.agreed - self.held + self.billed

    @property
    def due(self) -> Decimal:
        """What is still to be paid; below zero the shop owes the boat's owner."""
        return self.charged - self.paid

    @property
    def is_clear(self) -> bool:
        """Whether nothing is to be paid any more."""
        return self.due <= 0

    @property
    def due_now(self) -> Decimal:
        """What is to be paid at this moment: the rest of the deposit, or of what was billed; never below zero."""
        asked = self.billed if self.billed else self.deposit
        return max(min(asked - self.paid, self.due), NOTHING)
