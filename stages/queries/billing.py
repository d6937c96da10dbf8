"""What an invoice is made from: the approved papers, what is on record, the shop's way."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils import translation
from django.utils.translation import gettext as _

from hulls.charging import money, terms_of
from hulls.estimate import Because, Bill, BillBy, Charges, Line, LineKind, Paper, Used, digest, make_bill
from hulls.estimate.billed import plain_bill
from hulls.models import Estimate, Hull, Payment
from shop.models import Shop
from stages.engine.work import Work
from stages.queries.used_on import used_on


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A bill before it is issued: what would stand on it, and what it is held against.

    ``seen`` is a digest of it, so that what is issued is what was looked at.
    """

    bill: Bill
    used: tuple[Used, ...]
    body: dict[str, Any]
    held: Decimal

    @property
    def seen(self) -> str:
        """Digest of what would stand on it."""
        return digest(self.body)


def draw_up(hull: Hull, work: Work, shop: Shop) -> Drawn:
    """Draw a hull's bill up from what stands on record now, in the language of its owner.

    Raises
    ------
    EstimateError
        When there is nothing to bill, or the shop has not set what it charges.
    """
    with translation.override(hull.owner.reads):
        return _drawn(hull, work, shop)


def _drawn(hull: Hull, work: Work, shop: Shop) -> Drawn:
    agreed = tuple(Estimate.objects.agreed().filter(hull_id=hull.pk).order_by("sent_at", "pk"))
    paid = tuple(Payment.objects.standing().filter(hull_id=hull.pk))
    used = used_on(hull.pk, work)
    charges = Charges(rate=shop.hourly_rate, markup_pct=shop.markup_pct)
    papers = [_paper(row) for row in agreed]
    bill = make_bill(papers, used, by=BillBy(shop.bill_by), terms=terms_of(shop), charges=charges)
    body = {
        **plain_bill(bill),
        "papers": [[row.label, row.version, str(row.total), row.digest] for row in agreed],
        "payments": [[p.kind, p.paid_on.isoformat(), p.how, p.reference, str(p.amount)] for p in paid],
        "to": [hull.owner.name, hull.owner.email],
        "boat": [hull.tag, hull.name],
        "shop": [shop.name, shop.place, shop.phone, shop.email],
        "how_to_pay": shop.how_to_pay,
    }
    return Drawn(bill=bill, used=used, body=body, held=sum((row.total for row in agreed), Decimal(0)))


def _paper(row: Estimate) -> Paper:
    """An approved paper; each line says first in which one it was agreed."""
    lines = tuple(_agreed_in(row, line) for line in row.sums.lines)
    return Paper(label=row.label, lines=lines, stages=tuple(row.stages))


def _agreed_in(row: Estimate, line: Line) -> Line:
    words = _("%(amount)s in %(paper)s")
    if line.unit:
        amount = f"{line.amount.normalize():f} {line.unit} × {money(line.unit_price, row.currency)}"
    else:
        amount = money(line.total, row.currency)
    said = Because(what=_("Agreed"), value=words % {"amount": amount, "paper": row.label})
    return Line(
        kind=line.kind,
        words=line.words if line.kind is not LineKind.HOURS or line.key else f"{line.words}, {row.label}",
        amount=line.amount,
        unit=line.unit,
        unit_price=line.unit_price,
        total=line.total,
        key=line.key,
        because=(said, *line.because),
    )
