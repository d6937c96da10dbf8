"""The sum of an estimate: lines, taxes, total, deposit, and the range in which the bill will likely end."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from hulls.estimate.errors import EstimateError
from hulls.estimate.lines import HUNDRED, Line, LineKind
from hulls.estimate.money import Currency
from hulls.estimate.spread import Uncertain, likely_range
from hulls.estimate.taxes import Tax, TaxSum
from hulls.wording import gettext_noop


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What a shop asks of every job: its currency, its taxes, and the share of the total that is paid before it begins.

    Raises
    ------
    EstimateError
        When the deposit is no share, or two taxes have one name.
    """

    currency: Currency
    taxes: tuple[Tax, ...] = ()
    deposit_pct: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        if not self.deposit_pct.is_finite() or not 0 <= self.deposit_pct <= HUNDRED:
            raise EstimateError("deposit_pct", gettext_noop("A deposit runs from 0 to 100 % of the total."))
        if len({tax.name for tax in self.taxes}) != len(self.taxes):
            raise EstimateError("name", gettext_noop("Two taxes have the same name."))


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """An estimate that adds up.

    Parameters
    ----------
    currency : Currency
        Of every amount in it.
    lines : tuple of Line
        What is charged.
    subtotal, taxes, total : Decimal, tuple of TaxSum, Decimal
        Sum of the lines; each tax; and what the owner would pay.
    deposit : Decimal
        What is paid before work begins.
    low, high : Decimal
        One job in ten ends under the first, one in ten over the second.

    Raises
    ------
    EstimateError
        When it does not add up to the coin.
    """

    currency: Currency
    lines: tuple[Line, ...]
    subtotal: Decimal
    taxes: tuple[TaxSum, ...]
    total: Decimal
    deposit: Decimal
    low: Decimal
    high: Decimal

    def __post_init__(self) -> None:
        added = sum((line.total for line in self.lines), Decimal(0))
        if added != self.subtotal or self.subtotal + sum(tax.amount for tax in self.taxes) != self.total:
            raise EstimateError("total", gettext_noop("This estimate does not add up."))

    @property
    def hours(self) -> Decimal:
        """Hours that it charges for, h."""
        return sum((line.amount for line in self.lines if line.kind is LineKind.HOURS), Decimal(0))

    def of(self, kind: LineKind) -> Decimal:
        """Sum of the lines of one kind."""
        return sum((line.total for line in self.lines if line.kind is kind), Decimal(0))


def reckon(lines: Iterable[Line], terms: Terms) -> Estimate:
    """Add an estimate up.

    Parameters
    ----------
    lines : iterable of Line
        What is charged.
    terms : Terms
        The shop's taxes and deposit.

    Raises
    ------
    EstimateError
        When there is no line, or the discounts come to more than what is charged.

    Notes
    -----
    A tax is rounded once, on the sum of the lines that it is on, as EN 16931-1 reckons it (rule BR-CO-17, from memory).
    A discount lowers what each tax is on by the same share, so that it does not matter which line it was meant for.
    """
    lines = tuple(lines)
    if not lines:
        raise EstimateError("lines", gettext_noop("An estimate needs a line at least."))
    charged = sum((line.total for line in lines if line.kind is not LineKind.DISCOUNT), Decimal(0))
    subtotal = sum((line.total for line in lines), Decimal(0))
    if subtotal < 0:
        raise EstimateError("discount", gettext_noop("The discount is more than what is charged."))
    left = subtotal / charged if charged else Decimal(0)
    taxes = tuple(_tax(tax, lines, left, terms.currency) for tax in terms.taxes)
    total = subtotal + sum((tax.amount for tax in taxes), Decimal(0))
    low, high = _range(lines, terms, float(left), total)
    return Estimate(
        currency=terms.currency,
        lines=lines,
        subtotal=subtotal,
        taxes=taxes,
        total=total,
        deposit=terms.currency.rounded(total * terms.deposit_pct / HUNDRED),
        low=low,
        high=high,
    )


def _tax(tax: Tax, lines: tuple[Line, ...], left: Decimal, currency: Currency) -> TaxSum:
    on = sum((line.total for line in lines if line.kind in tax.on), Decimal(0))
    base = currency.rounded(on * left)
    amount = currency.rounded(base * tax.rate_pct / HUNDRED)
    return TaxSum(name=tax.name, rate_pct=tax.rate_pct, base=base, amount=amount)


def _range(lines: tuple[Line, ...], terms: Terms, left: float, total: Decimal) -> tuple[Decimal, Decimal]:
    """What the uncertain lines will really come to, taxes counted, on top of all that is agreed."""
    uncertain = []
    for line in lines:
        if line.spread and line.total:
            taxed = 1.0 + left * sum(float(tax.rate_pct) for tax in terms.taxes if line.kind in tax.on) / 100.0
            uncertain.append(Uncertain(mean=float(line.total) * taxed, spread=line.spread, together=line.together))
    if not uncertain:
        return total, total
    agreed = float(total) - sum(part.mean for part in uncertain)
    low, high = likely_range(uncertain)
    return tuple(terms.currency.rounded(Decimal(max(agreed + end, 0.0))) for end in (low, high))  # type: ignore[return-value]
