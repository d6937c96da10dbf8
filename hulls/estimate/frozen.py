"""An estimate as it was sent: plain JSON values, read back the same, and a digest that tells any change."""

import hashlib
import json
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from hulls.estimate.lines import Because, Line, LineKind
from hulls.estimate.money import Currency, Rounding
from hulls.estimate.reckon import Estimate
from hulls.estimate.taxes import TaxSum

_SUMS = ("subtotal", "total", "deposit", "low", "high")


def plain(estimate: Estimate) -> dict[str, Any]:
    """An estimate as JSON values; money stays text, so that no float ever touches it."""
    return {
        "currency": estimate.currency.code,
        "rounding": str(estimate.currency.rounding),
        "lines": [plain_line(line) for line in estimate.lines],
        "taxes": [
            {"name": t.name, "rate_pct": str(t.rate_pct), "base": str(t.base), "amount": str(t.amount)}
            for t in estimate.taxes
        ],
        **{name: str(getattr(estimate, name)) for name in _SUMS},
    }


def read(held: Mapping[str, Any]) -> Estimate:
    """The estimate that `plain` wrote.

    Raises
    ------
    EstimateError
        When it was changed so that it does not add up.
    """
    return Estimate(
        currency=Currency(code=held["currency"], rounding=Rounding(held["rounding"])),
        lines=tuple(map(read_line, held["lines"])),
        taxes=tuple(
            TaxSum(
                name=t["name"],
                rate_pct=Decimal(t["rate_pct"]),
                base=Decimal(t["base"]),
                amount=Decimal(t["amount"]),
            )
            for t in held["taxes"]
        ),
        **{name: Decimal(held[name]) for name in _SUMS},
    )


def digest(held: Mapping[str, Any]) -> str:
    """SHA-256 of JSON values in one order, as hexadecimal digits."""
    return hashlib.sha256(json.dumps(held, sort_keys=True, ensure_ascii=False).encode()).hexdigest()


def plain_because(parts: Iterable[Because]) -> list[list[str | bool]]:
    """What figures were reckoned from as JSON values."""
    return [[part.what, part.value, part.ours] for part in parts]


def read_because(held: Iterable[Any]) -> tuple[Because, ...]:
    """What figures were reckoned from, as `plain_because` wrote it."""
    return tuple(Because(what=what, value=value, ours=ours) for what, value, ours in held)


def plain_line(line: Line) -> dict[str, Any]:
    """One line as JSON values."""
    return {
        "kind": str(line.kind),
        "words": line.words,
        "amount": str(line.amount),
        "unit": line.unit,
        "unit_price": str(line.unit_price),
        "total": str(line.total),
        "key": line.key,
        "because": plain_because(line.because),
        "spread": line.spread,
        "together": line.together,
    }


def read_line(held: Mapping[str, Any]) -> Line:
    """The line that `plain_line` wrote."""
    return Line(
        kind=LineKind(held["kind"]),
        words=held["words"],
        amount=Decimal(held["amount"]),
        unit=held["unit"],
        unit_price=Decimal(held["unit_price"]),
        total=Decimal(held["total"]),
        key=held["key"],
        because=read_because(held["because"]),
        spread=held["spread"],
        together=held["together"],
    )
