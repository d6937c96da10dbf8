"""A bill: what was agreed beside what was really used, line by line, and what of it is charged."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from hulls.estimate.errors import EstimateError
from hulls.estimate.lines import Because, Line, LineKind, hours_line, material_line
from hulls.estimate.money import Currency
from hulls.estimate.reckon import Estimate, Terms, reckon
from hulls.wording import gettext_noop

MEASURED = frozenset({LineKind.HOURS, LineKind.MATERIAL})


class BillBy(StrEnum):
    """The shop's way to bill."""

    AGREED = "agreed"
    USED = "used"


class Reason(StrEnum):
    """Why a row is charged as it is."""

    AS_AGREED = "as_agreed"
    AS_USED = "as_used"
    UNTOLD = "untold"  # nothing on record of it, so it is charged as agreed
    NO_PRICE = "no_price"  # used, but nobody knows what it cost, so it is not charged
    NOT_AGREED = "not_agreed"  # used, but nobody had agreed to it, so it is not charged
    IN_STEPS = "in_steps"  # the hours of a change order are among those of the steps that it touched


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """An approved estimate or change order: what it is called, its lines, the stages that it touches by name."""

    label: str
    lines: tuple[Line, ...]
    stages: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """What was really worked or used of one thing.

    Parameters
    ----------
    kind : LineKind
        Hours or material.
    key : str
        The stage of hours, the product of a material.
    words, unit : str
        What it is, and what it is counted in.
    amount : Decimal
        Hours, h, or how much of the product.
    cost : Decimal or None
        What all of it cost the shop; None where nobody knows, and of hours.
    because : tuple of Because
        Where that is from.

    Raises
    ------
    EstimateError
        When it is nothing, or less.
    """

    kind: LineKind
    key: str
    words: str
    amount: Decimal
    unit: str
    cost: Decimal | None = None
    because: tuple[Because, ...] = ()

    def __post_init__(self) -> None:
        if self.kind not in MEASURED or not self.key:
            raise EstimateError("kind", gettext_noop("Only hours and materials are measured."))
        if not self.amount > 0 or (self.cost is not None and self.cost < 0):
            raise EstimateError("amount", gettext_noop("What was used is more than nothing."))


@dataclass(frozen=True, slots=True, kw_only=True)
class Charges:
    """How what was used is charged: an hour, and the mark-up on what a material cost."""

    rate: Decimal
    markup_pct: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One thing of a bill: agreed, real and charged. ``real`` is None where nothing of it is on record.

    ``agreed_in`` names the papers that it was agreed in; ``real`` is at the shop's prices, like ``agreed``.
    """

    kind: LineKind
    words: str
    unit: str
    agreed_amount: Decimal
    agreed: Decimal
    agreed_in: tuple[str, ...]
    real_amount: Decimal | None
    real: Decimal | None
    charged: tuple[Line, ...]
    reason: Reason
    because: tuple[Because, ...] = ()

    @property
    def billed(self) -> Decimal:
        """What is charged."""
        return sum((line.total for line in self.charged), Decimal(0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """The rows of a bill, and its sums."""

    by: BillBy
    rows: tuple[Row, ...]
    sums: Estimate


@dataclass(frozen=True, slots=True)
class _Agreed:
    lines: tuple[tuple[str, Line], ...]
    stages: tuple[str, ...]

    @property
    def first(self) -> Line:
        return self.lines[0][1]


def make_bill(
    papers: Iterable[Paper], used: Iterable[Used], *, by: BillBy, terms: Terms, charges: Charges | None
) -> Bill:
    """Hold what was used against what was agreed, and charge by the shop's way.

    Parameters
    ----------
    papers : iterable of Paper
        What the owner approved. Where there is none, the bill goes by what was used.
    used : iterable of Used
        What is on record, one for each kind and key.
    by : BillBy
        As agreed, or by what was used. By use, what nothing is on record of, lump sums and discounts stay as agreed.
    terms : Terms
        The shop's currency and taxes.
    charges : Charges or None
        Prices of what was used; None where the shop has set none, and then nothing can go by use.

    Raises
    ------
    EstimateError
        When there is nothing to charge, or the shop has no price for what was used.
    """
    papers = tuple(papers)
    real = {(one.kind, one.key): one for one in used}
    way = by if papers else BillBy.USED
    agreed = _by_thing(papers)
    rows = [_row(held, real.get(thing), real, way, terms.currency, charges) for thing, held in agreed.items()]
    rows += [_beside(one, way, terms.currency, charges) for thing, one in real.items() if thing not in agreed]
    lines = [line for row in rows for line in row.charged]
    if not lines:
        raise EstimateError(
            "lines", gettext_noop("There is nothing to bill: nothing was agreed, nothing is on record.")
        )
    return Bill(by=way, rows=tuple(rows), sums=reckon(lines, replace(terms, deposit_pct=Decimal(0))))


def _by_thing(papers: Iterable[Paper]) -> Mapping[tuple[LineKind, str], _Agreed]:
    """The agreed lines, those of one stage or product together; what has no key stands alone."""
    found: dict[tuple[LineKind, str], _Agreed] = {}
    for paper in papers:
        for n, line in enumerate(paper.lines):
            measured = line.kind in MEASURED and line.key
            thing = (line.kind, line.key if measured else f"\n{paper.label}\n{n}")
            before = found[thing].lines if thing in found else ()
            found[thing] = _Agreed((*before, (paper.label, line)), paper.stages)
    return found


def _row(
    held: _Agreed,
    used: Used | None,
    real: Mapping[tuple[LineKind, str], Used],
    by: BillBy,
    currency: Currency,
    charges: Charges | None,
) -> Row:
    lines = tuple(line for _label, line in held.lines)
    by_use = _charged(used, held.first, currency, charges) if used else None
    charged, reason = lines, Reason.AS_AGREED
    if by is BillBy.USED and held.first.kind in MEASURED:
        if by_use:
            charged, reason = (by_use,), Reason.AS_USED
        elif held.first.key:
            reason = Reason.UNTOLD
        elif _in_steps(held, real):
            charged, reason = (), Reason.IN_STEPS
    return Row(
        kind=held.first.kind,
        words=held.first.words,
        unit=held.first.unit,
        agreed_amount=sum((line.amount for line in lines), Decimal(0)),
        agreed=sum((line.total for line in lines), Decimal(0)),
        agreed_in=tuple(dict.fromkeys(label for label, _line in held.lines)),
        real_amount=used.amount if used else None,
        real=by_use.total if by_use else None,
        charged=charged,
        reason=reason,
        because=(*(part for line in lines for part in line.because), *(used.because if used else ())),
    )


def _in_steps(held: _Agreed, real: Mapping[tuple[LineKind, str], Used]) -> bool:
    """Whether the hours of a change order were told among those of every step that it touched."""
    told = all((LineKind.HOURS, stage) in real for stage in held.stages)
    return held.first.kind is LineKind.HOURS and bool(held.stages) and told


def _beside(used: Used, by: BillBy, currency: Currency, charges: Charges | None) -> Row:
    """What was used without anybody having agreed to it."""
    line = _charged(used, None, currency, charges)
    if by is BillBy.USED and line is None and used.kind is LineKind.HOURS:
        raise EstimateError("hourly_rate", gettext_noop("Set the price of an hour's work first."))
    reason = Reason.NOT_AGREED if by is BillBy.AGREED else Reason.AS_USED if line else Reason.NO_PRICE
    return Row(
        kind=used.kind,
        words=used.words,
        unit=used.unit,
        agreed_amount=Decimal(0),
        agreed=Decimal(0),
        agreed_in=(),
        real_amount=used.amount,
        real=line.total if line else None,
        charged=(line,) if line and reason is Reason.AS_USED else (),
        reason=reason,
        because=used.because,
    )


def _charged(used: Used, agreed: Line | None, currency: Currency, charges: Charges | None) -> Line | None:
    """What was used as a line: hours at the agreed price, or the shop's; materials at cost and mark-up."""
    words = agreed.words if agreed else used.words
    if used.kind is LineKind.HOURS:
        rate = agreed.unit_price if agreed else charges.rate if charges else None
        if not rate:
            return None
        return hours_line(currency, words=words, hours=used.amount, rate=rate, key=used.key, because=used.because)
    if used.cost is None:
        return None
    return material_line(
        currency,
        words=words,
        amount=used.amount,
        unit=used.unit,
        cost=used.cost / used.amount,
        markup_pct=charges.markup_pct if charges else Decimal(0),
        key=used.key,
        because=used.because,
    )
