"""The lines of an estimate: what is charged, how much of it, at which price, and what each figure came from."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from hulls.estimate.errors import EstimateError
from hulls.estimate.money import Currency
from hulls.wording import gettext_noop

HUNDRED = Decimal(100)
MOST_AMOUNT = Decimal(1_000_000)
THOUSANDTH = Decimal("0.001")
MOST_MARKUP_PCT = Decimal(500)


class LineKind(StrEnum):
    """What a line charges for."""

    HOURS = "hours"
    MATERIAL = "material"
    SUBCONTRACT = "subcontract"
    DISCOUNT = "discount"


CHARGED = frozenset({LineKind.HOURS, LineKind.MATERIAL, LineKind.SUBCONTRACT})


@dataclass(frozen=True, slots=True, kw_only=True)
class Because:
    """One figure that another one was reckoned from.

    Parameters
    ----------
    what : str
        What it is.
    value : str
        Its value as people read it.
    ours : bool
        Whether it is the shop's own affair, such as what a can cost: nothing that the boat's owner reads shows it.
    """

    what: str
    value: str
    ours: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of an estimate.

    Parameters
    ----------
    kind : LineKind
        What it charges for.
    words : str
        What the boat's owner reads.
    amount : Decimal
        How much of it, in ``unit``.
    unit : str
        Such as ``h``, ``L`` or ``pc``; empty for a lump sum.
    unit_price : Decimal
        Price of one unit; it may be finer than a coin.
    total : Decimal
        ``amount * unit_price`` to the coin; a discount is negative.
    key : str
        What it belongs to: the stage of hours, the product of a material.
    because : tuple of Because
        What its figures were reckoned from.
    spread : float
        Standard deviation of the logarithm of what it will really cost; 0 where it is agreed.
    together : str
        Lines that share it are long or short together; empty for a line on its own.
    """

    kind: LineKind
    words: str
    amount: Decimal
    unit_price: Decimal
    total: Decimal
    unit: str = ""
    key: str = ""
    because: tuple[Because, ...] = ()
    spread: float = 0.0
    together: str = ""

    def __post_init__(self) -> None:
        if not self.words.strip():
            raise EstimateError("words", gettext_noop("Write what the line is for."))
        if not self.amount.is_finite() or not 0 <= self.amount <= MOST_AMOUNT:
            raise EstimateError("amount", gettext_noop("An amount is zero or more, and no more than a million."))
        if (self.total > 0) if self.kind is LineKind.DISCOUNT else (self.total < 0):
            raise EstimateError("unit_price", gettext_noop("An amount of money is zero or more."))
        if not 0.0 <= self.spread <= 2.0:
            raise EstimateError("spread", gettext_noop("That spread is too wide to be a belief."))


def hours_line(
    currency: Currency,
    *,
    words: str,
    hours: Decimal,
    rate: Decimal,
    key: str = "",
    because: Iterable[Because] = (),
    spread: float = 0.0,
) -> Line:
    """Hours at the shop's hourly rate.

    Raises
    ------
    EstimateError
        When the rate is zero or holds a part of a coin, or the hours are negative.
    """
    if currency.checked(rate, "hourly_rate") == 0:
        raise EstimateError("hourly_rate", gettext_noop("At a rate of 0 the work would be free: set the hourly rate."))
    return _line(currency, LineKind.HOURS, words, hours, "h", rate, key, because, spread)


def material_line(
    currency: Currency,
    *,
    words: str,
    amount: Decimal,
    unit: str,
    cost: Decimal,
    markup_pct: Decimal = Decimal(0),
    key: str = "",
    because: Iterable[Because] = (),
    spread: float = 0.0,
) -> Line:
    """A material at what a unit of it costs the shop, with the shop's mark-up; materials run over or short together.

    Raises
    ------
    EstimateError
        When the cost or the amount is negative, or the mark-up is none.
    """
    if not cost.is_finite() or cost < 0:
        raise EstimateError("cost", gettext_noop("An amount of money is zero or more."))
    if not markup_pct.is_finite() or not 0 <= markup_pct <= MOST_MARKUP_PCT:
        raise EstimateError("markup_pct", gettext_noop("A mark-up runs from 0 to 500 %."))
    price = (cost * (1 + markup_pct / HUNDRED)).quantize(currency.coin / HUNDRED)
    return _line(currency, LineKind.MATERIAL, words, amount, unit, price, key, because, spread, "materials")


def subcontract(currency: Currency, *, words: str, price: Decimal, because: Iterable[Because] = ()) -> Line:
    """Work that somebody else does, or any lump sum, at an agreed price."""
    return _line(currency, LineKind.SUBCONTRACT, words, Decimal(1), "", currency.checked(price, "price"), "", because)


def discount(currency: Currency, *, words: str, price: Decimal, because: Iterable[Because] = ()) -> Line:
    """What is taken off; ``price`` is written without its minus."""
    off = -currency.checked(price, "discount")
    return _line(currency, LineKind.DISCOUNT, words, Decimal(1), "", off, "", because)


def _line(
    currency: Currency,
    kind: LineKind,
    words: str,
    amount: Decimal,
    unit: str,
    price: Decimal,
    key: str,
    because: Iterable[Because],
    spread: float = 0.0,
    together: str = "",
) -> Line:
    held = amount.quantize(THOUSANDTH) if amount.is_finite() and abs(amount) <= MOST_AMOUNT else amount
    return Line(
        kind=kind,
        words=words,
        amount=held,
        unit=unit,
        unit_price=price,
        total=currency.rounded(held * price) if held.is_finite() else Decimal(0),
        key=key,
        because=tuple(because),
        spread=spread,
        together=together,
    )
