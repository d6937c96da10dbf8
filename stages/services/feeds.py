"""Addresses of calendar feeds: made, withdrawn."""

from django.db import transaction
from django.utils import timezone

from hulls.tokens import new_token, token_hash
from shop.models import CrewMember
from stages.models import Feed


def make_feed(*, by: CrewMember, hull_id: int | None = None, person_id: int | None = None) -> str:
    """Make an address of the calendar of a hull, of a person, or of the whole shop; the one before is withdrawn.

    Returns
    -------
    str
        Its token, 128 random bits; it cannot be read again later.
    """
    token = new_token()
    with transaction.atomic():
        before = Feed.objects.filter(hull=hull_id, person=person_id, withdrawn_at=None)
        before.update(withdrawn_at=timezone.now())
        Feed.objects.create(
            hull_id=hull_id,
            person_id=person_id,
            token_hash=token_hash(token),
            made_at=timezone.now(),
            made_by=by,
        )
    return token


def withdraw_feed(*, feed: Feed) -> None:
    """Close an address for good; one that is closed stays as it is."""
    Feed.objects.filter(pk=feed.pk, withdrawn_at=None).update(withdrawn_at=timezone.now())


def close_feeds_of_hull(*, hull_id: int) -> None:
    """Close every address of one boat's calendar for good: its owner is to read nothing of it any more."""
    Feed.objects.filter(hull=hull_id, withdrawn_at=None).update(withdrawn_at=timezone.now())
