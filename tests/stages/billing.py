"""Money that comes in and goes out, as tests want it."""

from collections.abc import Iterable
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID, uuid4

from django.utils import timezone

from hulls.models import Hull, Invoice, PaidBy, Payment, PaymentKind
from shop.models import Shop
from stages.audit import differences
from stages.engine.route import StageSpec
from stages.models import HullWork
from stages.queries.billing import Drawn, draw_up
from stages.queries.routes import engine_route
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services import bench
from stages.services.bills import Issue, issue_invoice
from stages.services.payments import Paid, Receipt, record_payment
from tests.factories import hand, the_shop_owner
from tests.stages.charging import a_sent_estimate, a_surveyed_hull, answered


def an_agreed_hull(tag: str = "H-1", **asked: Any) -> Hull:
    """A hull whose owner approved the estimate."""
    hull = a_surveyed_hull(tag)
    assert answered(a_sent_estimate(hull, **asked)).done
    return hull


def pay(
    hull: Hull,
    amount: str,
    *,
    kind: PaymentKind = PaymentKind.PAYMENT,
    on: date | None = None,
    how: PaidBy = PaidBy.TRANSFER,
    reference: str = "",
    client_id: UUID | None = None,
    anyway: bool = False,
    at: datetime | None = None,
) -> Receipt:
    """Record a payment as the shop's owner."""
    now = at or timezone.now()
    paid = Paid(kind=kind, amount=Decimal(amount), on=on or timezone.localdate(now), how=how, reference=reference)
    by = the_shop_owner()
    return record_payment(hull_id=hull.pk, paid=paid, by=by, client_id=client_id or uuid4(), at=now, anyway=anyway)


def paid_in(hull: Hull, amount: str, **more: Any) -> Payment:
    """A payment that was recorded."""
    row = pay(hull, amount, **more).payment
    assert row is not None
    return row


def drawn_up(hull: Hull) -> Drawn:
    """The hull's bill before it is issued."""
    row = HullWork.objects.select_related("hull__owner", "route").get(pk=hull.pk)
    return draw_up(row.hull, in_work([row], around().world)[0].work, Shop.the_one())


def issued(hull: Hull, client_id: UUID | None = None, seen: str = "") -> Invoice:
    """An invoice, issued by whoever looked at its draft."""
    issue = Issue(
        by=the_shop_owner(), at=timezone.now(), client_id=client_id or uuid4(), seen=seen or drawn_up(hull).seen
    )
    return issue_invoice(hull_id=hull.pk, issue=issue)


def finish(hull: Hull, stage: str, hours: float | None = None) -> None:
    """Do a step whatever the rules say, and tell how long it took."""
    who = the_shop_owner()
    begun = bench.start_stage(hull_id=hull.pk, stage=stage, hand=hand(by=who, override="it is looked at"))
    assert begun.done, begun.findings
    done = bench.finish_stage(hull_id=hull.pk, stage=stage, hand=hand(by=who, override="it is"), hours=hours)
    assert done.done, done.findings


def before_hand_over(hull: Hull) -> Iterable[StageSpec]:
    """Leave out every step before hand-over, and start it."""
    route = engine_route(HullWork.objects.select_related("route").get(pk=hull.pk).route)
    who = the_shop_owner()
    for key in route.before["hand_over"]:
        bench.leave_out(hull_id=hull.pk, stage=key, reason="it is looked at", hand=hand(by=who, override="it is"))
    assert bench.start_stage(hull_id=hull.pk, stage="hand_over", hand=hand(by=who, override="it is looked at")).done
    return route.stages


def audit() -> list[str]:
    """What an audit finds."""
    return [str(difference) for difference in differences()]
