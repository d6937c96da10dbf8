"""What a boat's owner and the shop write to each other, as tests want it."""

from datetime import datetime
from uuid import UUID, uuid4

from django.utils import timezone

from hulls.models import ColourAsk, Hull, Remark
from stages.queries.routes import engine_route
from stages.services import bench
from stages.services.colours import Offer, ask_colour
from stages.services.orders import Guest
from stages.services.thread import Written, answer_owner, ask_shop
from tests.factories import hand
from tests.stages.at_work import SKIP, a_hull_at

GREEN, BLUE = Offer(name="spruce green", colour="#2f5d46"), Offer(name="lake blue", colour="#33536f")


def a_guest(at: datetime | None = None, client_id: UUID | None = None) -> Guest:
    """A boat's owner behind the link."""
    return Guest(at=at or timezone.now(), client_id=client_id or uuid4())


def a_question(hull: Hull, words: str = "May I come and look?", *, at: datetime | None = None) -> Remark:
    """Something that a boat's owner wrote."""
    remark = ask_shop(hull_id=hull.pk, written=Written(words=words), guest=a_guest(at)).remark
    assert remark is not None
    return remark


def an_answer(hull: Hull, words: str = "On any morning.", *, asks: bool = False) -> Remark:
    """Something that the shop wrote."""
    remark = answer_owner(hull_id=hull.pk, written=Written(words=words, asks=asks), hand=hand()).remark
    assert remark is not None
    return remark


def an_asked_colour(hull: Hull, *offers: Offer, open_to_words: bool = True) -> ColourAsk:
    """A question of the colour."""
    return ask_colour(hull_id=hull.pk, offers=offers or (GREEN, BLUE), open_to_words=open_to_words, hand=hand())


def a_ready_hull(tag: str = "H-1") -> Hull:
    """A hull that only waits to be handed over."""
    hull = a_hull_at("rack", tag)
    for key in engine_route(hull.work.route).before["hand_over"]:
        assert bench.leave_out(hull_id=hull.pk, stage=key, reason=SKIP, hand=hand()).done
    return hull
