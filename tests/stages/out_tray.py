"""Letters in the out-tray, as tests send them."""

from datetime import time, timedelta
from typing import Any

from django.utils import timezone

from hulls.models import Hull, Message, MessageKind, ProgressLink, Wish
from shop.models import Job, Shop
from stages.queries.routes import engine_route
from stages.services import bench
from stages.services.links import renew_link
from stages.services.orders import Outcome
from stages.services.post import deliver
from tests.factories import a_shop, hand
from tests.stages.at_work import a_hull_at


def a_shop_that_writes(**about: Any) -> Shop:
    """A shop without quiet hours."""
    shop = a_shop()
    told = {"quiet_from": time(0), "quiet_until": time(0), "email": "shop@example.org", **about}
    Shop.objects.filter(pk=shop.pk).update(**told)
    shop.refresh_from_db()
    return shop


def an_owner_hears(hull: Hull, wish: Wish = Wish.EVERY, *, weekly: bool = False) -> str:
    """A boat's owner has the link and chose; the letter that brings the link is out of the way. Gives the token."""
    token = renew_link(hull_id=hull.pk, hand=hand())
    assert token is not None
    ProgressLink.objects.filter(hull=hull).update(wish=wish, weekly=weekly)
    Message.objects.filter(hull=hull, kind=MessageKind.LINK).delete()
    return token


def a_boat_heard_of(wish: Wish = Wish.EVERY, tag: str = "H-1", **particulars: Any) -> Hull:
    """A hull on the rack whose owner hears of it."""
    hull = a_hull_at("rack", tag, **particulars)
    an_owner_hears(hull, wish)
    return hull


def a_step_done(hull: Hull, stage: str = "survey") -> Outcome:
    """A step that was begun and finished."""
    bench.start_stage(hull_id=hull.pk, stage=stage, hand=hand())
    done = bench.finish_stage(hull_id=hull.pk, stage=stage, hand=hand())
    assert done.done, done.findings
    return done


def all_but_the_hand_over(hull: Hull) -> None:
    """Everything is left out but the last step before the hand-over, which is finished."""
    before = [spec.key for spec in engine_route(hull.work.route).stages if spec.key not in ("survey", "hand_over")]
    for key in before:
        bench.leave_out(hull_id=hull.pk, stage=key, reason="only the end is looked at", hand=hand())
    a_step_done(hull)


def the_letter(**about: Any) -> Message:
    """The one letter in the tray."""
    return Message.objects.get(**about)


def when_due(letter: Message) -> Message:
    """Bring a letter's time forward and have it sent now."""
    Message.objects.filter(pk=letter.pk).update(due_at=timezone.now() - timedelta(seconds=1))
    deliver(message=letter.pk)
    letter.refresh_from_db()
    return letter


def wakes_of(letter: Message) -> list[Job]:
    """The jobs that look at a letter, in the order in which they were written down."""
    return list(Job.objects.filter(name="message", payload__message=letter.pk).order_by("pk"))


def a_letter_waiting(**hull: Any) -> Message:
    """A letter about a step that waits."""
    a_step_done(a_boat_heard_of(**hull))
    return the_letter()
