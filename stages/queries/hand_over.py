"""The page of a hand-over: what is asked for, what stands in the way, and once it is done, what is on record of it."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from hulls.estimate import Balance
from hulls.models import Message, MessageKind, Photo, PhotoState, ProgressLink
from hulls.photo_shown import Address, Shown, shown
from shop.models import View
from stages.engine.leaving import in_the_way, leaves_by
from stages.engine.log import EntryKind
from stages.models import Entry
from stages.queries.balances import balance_of
from stages.queries.final_photos import final_steps, last_of_each, missing_of, wanted_views
from stages.queries.finish_record import RecordPage, record_at_hand
from stages.queries.photos import in_sight
from stages.queries.sheet import AtHand
from stages.queries.sheet_steps import Told, told


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of the boat: how it came in, and how it leaves."""

    view: View
    name: str
    before: Shown | None
    after: Shown | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """A boat at its hand-over.

    ``missing`` names the sides of which there is no final photo; ``has_link`` says whether a letter can go out;
    ``line`` is that of the hand-over once it is done, ``letter`` the number of the letter about it; ``paper_lost`` says
    why there is no photo of the paper after all.
    """

    findings: tuple[Told, ...]
    balance: Balance
    sides: tuple[Side, ...]
    missing: tuple[str, ...]
    record: RecordPage
    has_link: bool
    line: int | None
    letter: int | None
    paper_lost: str

    @property
    def is_clear(self) -> bool:
        """Whether nothing keeps it from going."""
        return not any(finding.severity == "refuses" for finding in self.findings)


def leaving(at_hand: AtHand, address: Address) -> Leaving:
    """Everything that the page of a hand-over shows, in a fixed number of queries.

    Parameters
    ----------
    at_hand : AtHand
        The hull.
    address : callable
        Where the crew finds the copies of a photo.
    """
    row, work, shop = at_hand.row, at_hand.work, at_hand.setup.shop
    is_over = work.state.handed_over_at is not None
    photos = in_sight(row.pk)
    steps, wanted = final_steps(work.route), wanted_views(shop)
    link = ProgressLink.objects.filter(hull_id=row.pk, withdrawn_at=None).exists()
    record = record_at_hand(at_hand, address)
    return Leaving(
        findings=() if is_over else _findings(at_hand),
        balance=balance_of(row.pk),
        sides=tuple(_side(view, photos, steps, address) for view in wanted),
        missing=tuple(str(view.label) for view in missing_of(photos, steps, wanted)),
        record=record,
        has_link=link and bool(at_hand.hull.owner.email),
        line=_line(at_hand) if is_over else None,
        letter=_letter(row.pk) if is_over else None,
        paper_lost=_paper_lost(record),
    )


def _findings(at_hand: AtHand) -> tuple[Told, ...]:
    stage, now = leaves_by(at_hand.work.route).key, at_hand.now
    return tuple(told(finding, now, stage) for finding in in_the_way(at_hand.work, now))


def _side(view: View, photos: Sequence[Photo], steps: frozenset[str], address: Address) -> Side:
    after = last_of_each(photos, steps).get(view.value)
    ready = (p for p in photos if p.view == view.value and p.state == PhotoState.READY and p.stage not in steps)
    before = next(ready, None)
    return Side(
        view=view,
        name=str(view.label),
        before=shown(before, address) if before else None,
        after=shown(after, address) if after else None,
    )


def _line(at_hand: AtHand) -> int | None:
    stage = leaves_by(at_hand.work.route).key
    lines = Entry.objects.filter(hull_id=at_hand.row.pk, kind=EntryKind.FINISHED, stage=stage).order_by("-number")
    return lines.values_list("number", flat=True).first()


def _paper_lost(record: RecordPage) -> str:
    """Why the photo of the signed paper could not be opened; that comes out only after it was sent."""
    number = record.receipt.paper if record.receipt else None
    lost = Photo.objects.filter(pk=number, state=PhotoState.REFUSED).first() if number else None
    return _(lost.refusal) if lost else ""


def _letter(hull_id: int) -> int | None:
    letters = Message.objects.filter(hull_id=hull_id, kind=MessageKind.RECORD).order_by("-pk")
    return letters.values_list("pk", flat=True).first()
