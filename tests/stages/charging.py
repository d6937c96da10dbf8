"""A shop that charges, as tests of estimates and money want it."""

from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import uuid4

from django.utils import timezone

from hulls.models import Estimate, Hull
from shop.models import Shop, Tax
from stages.queries.estimate_asked import Asked
from stages.services import notes
from stages.services.answers import Reply, answer_estimate
from stages.services.change_orders import Change, raise_change_order
from stages.services.estimates import prepare_estimate, send_estimate
from stages.services.orders import Guest, Outcome
from tests.factories import a_hull, a_shop, hand

RATE = Decimal(60)


def a_shop_that_charges(**terms: Any) -> Shop:
    """A shop with an hourly rate and one tax, where work waits for the approved estimate."""
    a_shop()
    told = {"hourly_rate": RATE, "estimates_first": True, "deposit_pct": Decimal(30), "markup_pct": Decimal(25)}
    shop = Shop.objects.get(pk=1)
    for name, value in {**told, **terms}.items():
        setattr(shop, name, value)
    shop.save()
    Tax.objects.create(name="VAT", rate_pct=Decimal(20))
    return shop


def a_surveyed_hull(tag: str = "H-1", *, at: datetime | None = None, **counts: int) -> Hull:
    """A hull whose survey is on record."""
    hull = a_hull(tag, arrived=at)
    notes.write_survey(hull_id=hull.pk, counts=counts or {"ribs": 4}, conditions={}, hand=hand(at=at))
    return hull


def a_draft(hull: Hull, **asked: Any) -> Estimate:
    """An estimate that was worked out."""
    return prepare_estimate(hull_id=hull.pk, asked=Asked(**asked), by=hand().by, at=timezone.now())


def a_sent_estimate(hull: Hull, *, at: datetime | None = None, **asked: Any) -> Estimate:
    """An estimate that its owner can answer."""
    draft = a_draft(hull, **asked)
    assert send_estimate(hull_id=hull.pk, estimate=draft.pk, hand=hand(at=at)).done
    return Estimate.objects.get(pk=draft.pk)


def a_change_order(hull: Hull, *stages: str, **change: Any) -> Estimate:
    """A change order that its owner can answer."""
    told = {"words": "A fifth rib is cracked", "hours": Decimal("1.5"), **change}
    made = Change(stages=stages or ("ribs",), **told)
    assert raise_change_order(hull_id=hull.pk, change=made, hand=hand()).done
    return Estimate.objects.filter(hull=hull, kind="change").latest("number")


def reply_to(estimate: Estimate, *, yes: bool = True, name: str = "Ada Reed", **other: Any) -> Reply:
    """What the owner's page sends."""
    told = {"label": estimate.label, "version": estimate.version, "digest": estimate.digest, **other}
    return Reply(yes=yes, name=name, **told)


def a_guest() -> Guest:
    """The boat's owner behind the link."""
    now = timezone.now()
    return Guest(at=now, client_id=uuid4(), recorded_at=now)


def answered(estimate: Estimate, *, yes: bool = True, **other: Any) -> Outcome:
    """The owner answers."""
    return answer_estimate(hull_id=estimate.hull_id, reply=reply_to(estimate, yes=yes, **other), hand=a_guest())
