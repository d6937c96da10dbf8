"""The thread of a boat as its owner and as the shop read it, and which owners wait for the shop."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Count, Min, Q
from django.utils import timezone

from hulls.models import ColourAsk, Hull, Remark
from hulls.photo_shown import Shown
from stages.saying import when


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One remark, ready to read; ``by`` is the crew member for the shop's eyes, ``photo`` what it is about."""

    pk: int
    owner_s: bool
    by: str
    at: datetime
    says_when: str
    words: str
    day: date | None
    photo: Shown | None
    waits: bool
    struck: bool
    because: str


def remarks_of(hull_id: int) -> list[Remark]:
    """All remarks of a boat, struck ones too, the oldest first, in one query."""
    return list(Remark.objects.filter(hull=hull_id).select_related("by").order_by("made_at", "pk"))


def lines_of(remarks: Iterable[Remark], film: Mapping[int, Shown], now: datetime) -> tuple[Line, ...]:
    """Remarks as a page shows them.

    Parameters
    ----------
    remarks : iterable of Remark
        In their order.
    film : mapping of int to Shown
        The photos that whoever reads may see, by their number.
    now : datetime
        The moment, aware.
    """
    return tuple(_line(remark, film, now) for remark in remarks)


def _line(remark: Remark, film: Mapping[int, Shown], now: datetime) -> Line:
    return Line(
        pk=remark.pk,
        owner_s=remark.is_owner_s,
        by=(remark.by.get_full_name() or remark.by.get_username()) if remark.by else "",
        at=timezone.localtime(remark.made_at),
        says_when=when(remark.made_at, now),
        words="" if remark.struck_at else remark.words,
        day=None if remark.struck_at else remark.day,
        photo=None if remark.struck_at else film.get(remark.photo_id or 0),
        waits=remark.waits,
        struck=remark.struck_at is not None,
        because=remark.struck_because,
    )


def coming_on(remarks: Iterable[Remark], today: date) -> date | None:
    """The day on which a boat's owner means to come, by the last word on it; none once it is over."""
    days = [remark.day for remark in remarks if remark.day and not remark.struck_at]
    return days[-1] if days and days[-1] >= today else None


def colour_of(hull_id: int) -> ColourAsk | None:
    """The last question of the colour that was not withdrawn."""
    return ColourAsk.objects.filter(hull=hull_id, withdrawn_at=None).order_by("-made_at", "-pk").first()


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """A boat whose owner waits for the shop: how many remarks, since when, and whether a colour is to be taken over."""

    tag: str
    name: str
    remarks: int
    since: datetime | None
    says_when: str
    colour: bool


def owners_who_wait(now: datetime) -> tuple[Waiting, ...]:
    """The boats whose owners wait for an answer, or for their colour to be taken over, in one query."""
    unanswered = Q(thread__by=None, thread__settled_at=None, thread__struck_at=None, thread__isnull=False)
    chosen = Q(colour_asks__chosen_at__isnull=False, colour_asks__taken_at=None, colour_asks__withdrawn_at=None)
    found = (
        Hull.objects.filter(unanswered | chosen)
        .annotate(
            remarks=Count("thread", filter=unanswered, distinct=True),
            since=Min("thread__made_at", filter=unanswered),
            chosen=Count("colour_asks", filter=chosen, distinct=True),
        )
        .order_by("since", "tag")
    )
    return tuple(
        Waiting(
            tag=hull.tag,
            name=hull.name,
            remarks=hull.remarks,
            since=hull.since,
            says_when=when(hull.since, now) if hull.since else "",
            colour=bool(hull.chosen),
        )
        for hull in found
    )
