"""A bill as it was issued: plain JSON values, read back the same."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from hulls.estimate.bill import Bill, BillBy, Reason, Row
from hulls.estimate.errors import EstimateError
from hulls.estimate.frozen import plain, plain_because, plain_line, read, read_because, read_line
from hulls.estimate.lines import LineKind
from hulls.wording import gettext_noop


def plain_bill(bill: Bill) -> dict[str, Any]:
    """A bill as JSON values; money stays text, so that no float ever touches it."""
    return {"by": str(bill.by), "rows": [_plain_row(row) for row in bill.rows], "sums": plain(bill.sums)}


def read_bill(held: Mapping[str, Any]) -> Bill:
    """The bill that `plain_bill` wrote.

    Raises
    ------
    EstimateError
        When it was changed so that it is no bill, or does not add up.
    """
    try:
        bill = Bill(by=BillBy(held["by"]), rows=tuple(map(_read_row, held["rows"])), sums=read(held["sums"]))
    except (KeyError, TypeError, ValueError, ArithmeticError) as error:
        raise EstimateError("total", gettext_noop("This invoice does not add up.")) from error
    if sum((row.billed for row in bill.rows), Decimal(0)) != bill.sums.subtotal:
        raise EstimateError("total", gettext_noop("This invoice does not add up."))
    return bill


def _plain_row(row: Row) -> dict[str, Any]:
    return {
        "kind": str(row.kind),
        "words": row.words,
        "unit": row.unit,
        "agreed_amount": str(row.agreed_amount),
        "agreed": str(row.agreed),
        "agreed_in": list(row.agreed_in),
        "real_amount": None if row.real_amount is None else str(row.real_amount),
        "real": None if row.real is None else str(row.real),
        "charged": [plain_line(line) for line in row.charged],
        "reason": str(row.reason),
        "because": plain_because(row.because),
    }


def _read_row(held: Mapping[str, Any]) -> Row:
    return Row(
        kind=LineKind(held["kind"]),
        words=held["words"],
        unit=held["unit"],
        agreed_amount=Decimal(held["agreed_amount"]),
        agreed=Decimal(held["agreed"]),
        agreed_in=tuple(held["agreed_in"]),
        real_amount=None if held["real_amount"] is None else Decimal(held["real_amount"]),
        real=None if held["real"] is None else Decimal(held["real"]),
        charged=tuple(map(read_line, held["charged"])),
        reason=Reason(held["reason"]),
        because=read_because(held["because"]),
    )
