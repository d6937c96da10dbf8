"""What the demo shop's owners pay: a deposit each, the rest before their boat leaves; one still owes. Invented."""

import random
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from uuid import UUID

from django.utils import timezone

from hulls.models import Hull, PaidBy, PaymentKind
from shop.models import CrewMember, Role, Shop
from stages.models import HullWork
from stages.queries.balances import balance_of
from stages.queries.billing import draw_up
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services.bills import Issue, issue_invoice, standing_invoice
from stages.services.payments import Paid, record_payment

STILL_OWES = "H-092"
THINKS_OVER = timedelta(days=2, hours=3)


@dataclass(slots=True)
class Till:
    """The shop's owner records what comes in; its dice are its own, so that the work goes on as it would without."""

    dice: random.Random = field(default_factory=lambda: random.Random(23))

    def take_deposit(self, hull: Hull, at: datetime) -> None:
        """A boat's owner pays what the estimate asked for before work begins."""
        self._take(hull, PaymentKind.DEPOSIT, at)

    def settle(self, hull: Hull, at: datetime, now: datetime) -> datetime | None:
        """Bill a boat that is ready; say when it is paid for, None while it is not."""
        if standing_invoice(hull.pk) is None:
            row = HullWork.objects.select_related("hull__owner", "route").get(pk=hull.pk)
            seen = draw_up(row.hull, in_work([row], around().world)[0].work, Shop.the_one()).seen
            issue_invoice(hull_id=hull.pk, issue=Issue(by=_boss(), at=at, client_id=self._uuid(), seen=seen))
        paid_at = at + THINKS_OVER
        if hull.tag == STILL_OWES or paid_at >= now:
            return None
        self._take(hull, PaymentKind.PAYMENT, paid_at)
        return paid_at

    def _take(self, hull: Hull, kind: PaymentKind, at: datetime) -> None:
        due = balance_of(hull.pk).due_now
        if not due:
            return
        how = self.dice.choice((PaidBy.TRANSFER, PaidBy.TRANSFER, PaidBy.CHEQUE, PaidBy.CARD))
        paid = Paid(
            kind=kind,
            amount=due,
            on=timezone.localtime(at).date(),
            how=how,
            reference=f"{self.dice.randrange(1000, 9999)}",
        )
        record_payment(hull_id=hull.pk, paid=paid, by=_boss(), client_id=self._uuid(), at=at)

    def _uuid(self) -> UUID:
        return UUID(int=self.dice.getrandbits(128), version=4)


def _boss() -> CrewMember:
    return CrewMember.objects.filter(role=Role.OWNER).order_by("pk")[0]
