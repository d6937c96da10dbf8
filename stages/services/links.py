"""The boat owner's progress link: made, renewed, withdrawn."""

from django.db import transaction
from django.utils import timezone

from hulls.models import ProgressLink
from hulls.tokens import new_token, token_hash
from stages.engine.log import EntryKind
from stages.services.desk import telling
from stages.services.feeds import close_feeds_of_hull
from stages.services.messages import tell_of_link
from stages.services.orders import Hand, Line, Outcome
from stages.services.record import record


def renew_link(*, hull_id: int, hand: Hand) -> str | None:
    """Withdraw the open link of a hull, if any, and make a new one; a letter tells its owner.

    What the owner chose to be written to about goes over to the new one.

    Returns
    -------
    str or None
        The token, 128 random bits; it cannot be read again later. None when the same request was sent before.

    Raises
    ------
    EngineError
        For a time in the future or before the hull arrived.
    """
    token = new_token()
    with transaction.atomic():
        if _log(hull_id, hand, "made").repeated:
            return None
        _withdraw(hull_id)
        before = ProgressLink.objects.filter(hull_id=hull_id).order_by("made_at", "pk").last()
        chosen = {"wish": before.wish, "weekly": before.weekly} if before else {}
        link = ProgressLink.objects.create(
            hull_id=hull_id, token_hash=token_hash(token), made_at=timezone.now(), made_by=hand.by, **chosen
        )
        tell_of_link(link)
    return token


def withdraw_link(*, hull_id: int, hand: Hand) -> Outcome:
    """Withdraw the open link of a hull and its calendar's addresses; sent again, it leaves what was made since alone.

    Raises
    ------
    EngineError
        For a time in the future or before the hull arrived.
    """
    with transaction.atomic():
        outcome = _log(hull_id, hand, "withdrawn")
        if not outcome.repeated:
            _withdraw(hull_id)
            close_feeds_of_hull(hull_id=hull_id)
    return outcome


def _withdraw(hull_id: int) -> None:
    ProgressLink.objects.filter(hull_id=hull_id, withdrawn_at__isnull=True).update(withdrawn_at=timezone.now())


def _log(hull_id: int, hand: Hand, what: str) -> Outcome:
    line = Line(kind=EntryKind.LINK, details={"what": what})
    return record(hull_id=hull_id, hand=hand, plan=telling(line))
