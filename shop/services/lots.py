"""The one way into the ledger of the stores: lock lots in the order of their numbers, add a movement, keep the sum."""

from collections.abc import Iterable
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from django.db.models import QuerySet

from shop.models import CrewMember, Lot, Move, Movement

NOTHING = Decimal(0)
OPENS = frozenset({Move.OPENED, Move.DRAWN, Move.USED})
STIRS = frozenset({Move.SHAKEN, Move.DRAWN})


def locked(lots: QuerySet[Lot]) -> list[Lot]:
    """Lots as they stand, held until the transaction ends, by number: whoever locks several does so in one order."""
    return list(lots.select_related("product").select_for_update(of=("self",)).order_by("pk"))


def add(
    lot: Lot,
    kind: Move,
    amount: Decimal,
    *,
    at: datetime,
    by: CrewMember,
    recorded_at: datetime,
    reason: str = "",
    entry: int | None = None,
    client_id: UUID | None = None,
) -> Movement:
    """Add a movement to a locked lot, and bring what the lot holds, and since when it is open, in line with it."""
    movement = Movement.objects.create(
        lot=lot,
        kind=kind,
        amount=amount,
        at=at,
        by=by,
        recorded_at=recorded_at,
        reason=reason,
        entry=entry,
        client_id=client_id,
    )
    lot.holds += amount
    lot.opened_at, lot.shaken_at = handled(lot.opened_at, lot.shaken_at, movement)
    lot.save(update_fields=["holds", "opened_at", "shaken_at"])
    return movement


def handled(
    opened_at: datetime | None, shaken_at: datetime | None, movement: Movement
) -> tuple[datetime | None, datetime | None]:
    """Since when a lot is open and when it was last stirred, one movement further on."""
    if movement.kind in OPENS:
        opened_at = min(filter(None, (opened_at, movement.at)))
    if movement.kind in STIRS:
        shaken_at = max(filter(None, (shaken_at, movement.at)))
    return opened_at, shaken_at


def settled_since(lot: Lot, movement: Movement) -> bool:
    """Whether somebody has counted a lot, or thrown it away, after a movement: then that is the truth."""
    return lot.movements.filter(pk__gt=movement.pk, kind__in=(Move.COUNTED, Move.THROWN)).exists()


def sent_before(client_id: UUID) -> Movement | None:
    """The movement that was written for a sender's number before."""
    return Movement.objects.filter(client_id=client_id).select_related("lot__product").first()


def sums(movements: Iterable[Movement]) -> Decimal:
    """What movements come to."""
    return sum((movement.amount for movement in movements), NOTHING)
