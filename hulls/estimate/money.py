"""Money: Decimal amounts of one currency, and the one place where they are rounded."""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from enum import StrEnum

from hulls.estimate.errors import EstimateError
from hulls.wording import gettext_noop

MOST = Decimal(100_000_000)
# ISO 4217, column "minor unit": currencies whose smallest coin is not a hundredth.
_NO_DECIMALS = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
_THREE_DECIMALS = "BHD IQD JOD KWD LYD OMR TND"


class Rounding(StrEnum):
    """What becomes of exactly half a cent.

    Half to even is ASTM E29's rounding method, under which sums of many lines lean neither way; half up is what some
    tax offices ask for.
    """

    HALF_EVEN = "half_even"
    HALF_UP = "half_up"


_MODES = {Rounding.HALF_EVEN: ROUND_HALF_EVEN, Rounding.HALF_UP: ROUND_HALF_UP}


@dataclass(frozen=True, slots=True, kw_only=True)
class Currency:
    """A currency and how its halves are rounded.

    Parameters
    ----------
    code : str
        Three letters of ISO 4217.
    rounding : Rounding
        What becomes of exactly half of the smallest coin.

    Raises
    ------
    EstimateError
        When the code is not three capital letters.
    """

    code: str
    rounding: Rounding = Rounding.HALF_EVEN

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[A-Z]{3}", self.code):
            raise EstimateError("currency", gettext_noop("A currency is three capital letters, like EUR."))

    @property
    def places(self) -> int:
        """Digits after the point (ISO 4217, minor unit)."""
        if self.code in _NO_DECIMALS:
            return 0
        return 3 if self.code in _THREE_DECIMALS else 2

    @property
    def coin(self) -> Decimal:
        """The smallest amount that can be paid."""
        return Decimal(1).scaleb(-self.places)

    def rounded(self, amount: Decimal) -> Decimal:
        """An amount to the smallest coin."""
        return amount.quantize(self.coin, rounding=_MODES[self.rounding])

    def checked(self, amount: Decimal, field: str) -> Decimal:
        """An amount that somebody typed: zero or more, and no part of a coin.

        Raises
        ------
        EstimateError
            When it is negative, no number, absurdly large, or holds a part of the smallest coin.
        """
        if not amount.is_finite() or not -MOST < amount < MOST:
            raise EstimateError(field, gettext_noop("That is no amount of money."))
        if amount < 0:
            raise EstimateError(field, gettext_noop("An amount of money is zero or more."))
        if amount != self.rounded(amount):
            raise EstimateError(field, gettext_noop("That is a part of the smallest coin: write fewer decimals."))
        return self.rounded(amount)
