"""Taxes: each on the kinds of lines that it is on, rounded once on their sum."""

from dataclasses import dataclass
from decimal import Decimal

from hulls.estimate.errors import EstimateError
from hulls.estimate.lines import CHARGED, LineKind
from hulls.wording import gettext_noop

MOST_PCT = Decimal(100)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tax:
    """A tax on what is sold.

    Parameters
    ----------
    name : str
        As it stands on the estimate.
    rate_pct : Decimal
        Percent, 0 to 100, with at most four decimals.
    on : frozenset of LineKind
        What it is on.

    Raises
    ------
    EstimateError
        When the rate is none that a tax has, the name is missing, or it is on nothing.
    """

    name: str
    rate_pct: Decimal
    on: frozenset[LineKind] = CHARGED

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise EstimateError("name", gettext_noop("A tax needs a name."))
        if not self.rate_pct.is_finite() or not 0 <= self.rate_pct <= MOST_PCT:
            raise EstimateError("rate_pct", gettext_noop("A tax runs from 0 to 100 %."))
        if self.rate_pct != self.rate_pct.quantize(Decimal("0.0001")):
            raise EstimateError("rate_pct", gettext_noop("A tax has at most four decimals."))
        if not self.on or not self.on <= CHARGED:
            raise EstimateError("on", gettext_noop("Say what the tax is on: hours, materials or sub-contracts."))


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxSum:
    """One tax of an estimate: its name, its rate in percent, what it was reckoned on, and how much it is."""

    name: str
    rate_pct: Decimal
    base: Decimal
    amount: Decimal
