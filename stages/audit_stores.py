"""Proof that the stores equal the log, the purchases and the counts, and that nothing was drawn that is not there."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import datetime
from decimal import Decimal

from shop.models import Lot, Move, Movement, OrderLine
from shop.services.lots import NOTHING, handled
from stages.difference import Difference
from stages.engine.log import EntryKind
from stages.models import Entry

SETTLING = (Move.COUNTED, Move.THROWN)
Moved = dict[tuple[int, str], Decimal]


def of_lots() -> Iterator[Difference]:
    """Differences of the ledger: every lot against its movements, every order against what came of it."""
    for lot in Lot.objects.prefetch_related("movements").select_related("product").order_by("pk").iterator(500):
        yield from _of_lot(lot)
    for line in OrderLine.objects.select_related("pack").prefetch_related("lots__movements"):
        came = sum((m.amount for lot in line.lots.all() for m in lot.movements.all() if m.kind == Move.IN), NOTHING)
        if came != line.received * line.pack.amount:
            yield Difference("stores", f"order {line.pk}", came, line.received * line.pack.amount)
    drawn = Movement.objects.filter(entry__isnull=False)
    lost = drawn.exclude(entry__in=Entry.objects.filter(kind=EntryKind.COAT).values("pk"))
    for movement in lost.order_by("pk"):
        yield Difference("stores", f"movement {movement.pk}", "no such coat", movement.amount)


def drawn_by(tag: str, entries: Sequence[Entry]) -> Iterator[Difference]:
    """Differences between what the coats of a hull drew by its log and by the ledger."""
    coats = {entry.pk: entry for entry in entries if "drawn" in entry.details}
    struck = {entry.details["entry"] for entry in entries if entry.kind == EntryKind.STRIKE}
    moved: dict[int, list[Movement]] = defaultdict(list)
    for movement in Movement.objects.filter(entry__in=list(coats)).order_by("pk"):
        assert movement.entry is not None
        moved[movement.entry].append(movement)
    for pk, entry in coats.items():
        wanted = _wanted(entry, moved[pk], is_struck=entry.number in struck)
        found: Moved = {(movement.lot_id, movement.kind): movement.amount for movement in moved[pk]}
        if wanted != found:
            yield Difference(tag, f"what line {entry.number} drew", wanted, found)


def _of_lot(lot: Lot) -> Iterator[Difference]:
    held, came = NOTHING, NOTHING
    opened_at: datetime | None = None
    shaken_at: datetime | None = None
    for movement in sorted(lot.movements.all(), key=lambda movement: movement.pk):
        held += movement.amount
        came += movement.amount if movement.kind == Move.IN else NOTHING
        opened_at, shaken_at = handled(opened_at, shaken_at, movement)
        if not 0 <= held <= came:
            yield Difference("stores", f"lot {lot.pk} after movement {movement.pk}", f"0 to {came}", held)
    for name, wanted in (("holds", held), ("opened_at", opened_at), ("shaken_at", shaken_at)):
        if getattr(lot, name) != wanted:
            yield Difference("stores", f"lot {lot.pk}, {name}", wanted, getattr(lot, name))


def _wanted(entry: Entry, moved: Sequence[Movement], *, is_struck: bool) -> Moved:
    """What the ledger must hold of a coat: what it drew, and, where it was struck, that it was given back."""
    found: Moved = {}
    for lot, amount in entry.details["drawn"]:
        found[lot, Move.DRAWN.value] = -Decimal(amount)
        if is_struck:
            found[lot, Move.STRUCK.value] = Decimal(amount) if _gives_back(lot, moved) else NOTHING
    return found


def _gives_back(lot: int, moved: Sequence[Movement]) -> bool:
    """Whether nobody settled what a lot holds between the drawing and the strike."""
    of_it = {movement.kind: movement.pk for movement in moved if movement.lot_id == lot}
    first, last = of_it.get(Move.DRAWN, 0), of_it.get(Move.STRUCK, 0)
    return not Movement.objects.filter(lot=lot, kind__in=SETTLING, pk__gt=first, pk__lt=last).exists()
