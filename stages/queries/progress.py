"""What a boat's owner sees behind the progress link: this boat and nothing else, in a fixed number of queries."""

from dataclasses import dataclass
from datetime import date, datetime

from django.utils import timezone
from django.utils.translation import gettext as _

from hulls.drawing import HullDrawing, sheet_scale
from hulls.links import open_links
from hulls.models import Answer, ColourAsk, Estimate, Hull, Photo, ProgressLink, TimeLapse
from hulls.photo_shown import Address, Shown, shown
from hulls.sizes import drawn_from
from hulls.skin_section import Band, draw_section
from shop.models import Pulse, Shop
from shop.stored import stored
from shop.units import UnitSystem, format_length
from stages.engine.assess import StageStatus, assess, headline
from stages.engine.vocab import State, Surface
from stages.engine.work import Work
from stages.letters.wanted import ready_to_leave
from stages.models import HullWork
from stages.owner.days import day
from stages.owner.layers import Skin
from stages.owner.ready import Ready, ready
from stages.owner.story import Day, story
from stages.owner.today import OVER, told
from stages.owner.todo import ToDo, to_do
from stages.queries.bills import ToPay, to_pay
from stages.queries.dates import HullDatesShown, NoDate, dates_of
from stages.queries.estimates import Document, document_of, sent_to_owner
from stages.queries.looks import drawing_of
from stages.queries.photos import Pair, pairs_shown, shared_photos
from stages.queries.planned_days import next_days
from stages.queries.sheet_skin import skin_words
from stages.queries.thread import Line, colour_of, coming_on, lines_of, remarks_of
from stages.queries.work import in_work, log_of
from stages.queries.world import around

NEXT = 3  # steps to come that are named; the rest is counted


@dataclass(frozen=True, slots=True, kw_only=True)
class Where:
    """Where the boat stands, by the station's name, and since which day."""

    name: str
    since: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """The owner's page. ``steps_done`` of ``steps`` are over; ``coming`` names the next ones after today's.

    ``asks`` wait for an answer, ``agreed`` have one; ``pays`` is what is to be paid; ``altered`` says that another
    paper is not what was sent any more. ``undated`` says that no day can be named now, as ``ready`` would. ``to_do``
    is what waits for the owner, ``may_collect`` that the boat is ready and ``comes_on`` the day on which its owner
    means to come.
    """

    hull: Hull
    length: str
    looks: str
    drawing: HullDrawing
    says: str
    where: Where | None
    handed_over: bool
    overdue: bool
    steps_done: int
    steps: int
    coming: tuple[str, ...]
    coming_more: int
    old_skin: bool
    section: tuple[Band, ...]
    planned: bool
    days: tuple[Day, ...]
    film: tuple[Shown, ...]
    pairs: tuple[Pair, ...]
    time_lapse: bool
    asks: tuple[Estimate, ...]
    agreed: tuple[Document, ...]
    pays: ToPay | None
    altered: bool
    ready: Ready | None
    undated: bool
    to_do: tuple[ToDo, ...]
    thread: tuple[Line, ...]
    colour: ColourAsk | None
    may_collect: bool
    comes_on: date | None


def open_link(token: str) -> HullWork | None:
    """The hull that a token opens; None for a wrong, malformed or withdrawn one, at the price of the same query."""
    link = next(iter(open_links(token).select_related("hull__work__route", "hull__time_lapse", "hull__owner")), None)
    return link.hull.work if link else None


def letters_wanted(token: str) -> ProgressLink | None:
    """The link that a token opens, with what its owner chose, and with the owner."""
    return open_links(token).select_related("hull__owner").first()


def shared_photo(token: str, pk: int) -> Photo | None:
    """A photo behind a token, if it is of that hull and shared with its owner."""
    return next(iter(shared_photos().filter(pk=pk, hull__links__in=open_links(token))), None)


def shared_time_lapse(token: str) -> str:
    """The name of the time-lapse behind a token; empty where there is none."""
    return next(iter(TimeLapse.objects.filter(hull__links__in=open_links(token)).values_list("shared", flat=True)), "")


def progress_of(row: HullWork, *, pulse: Pulse, shop: Shop, now: datetime, address: Address) -> Progress:
    """Everything that the owner's page shows.

    Parameters
    ----------
    row : HullWork
        From `open_link`.
    pulse, shop : Pulse, Shop
        As the request holds them.
    now : datetime
        The moment, aware.
    address : callable
        Where whoever has the link finds the copies of a photo.
    """
    hull, today = row.hull, timezone.localtime(now).date()
    work = in_work([row], around(pulse=pulse).world)[0].work
    statuses = assess(work, now)
    live = [s for s in statuses if s.spec.when.holds(work.scope) and not s.record.left_out]
    photos = list(shared_photos().filter(hull_id=row.pk).order_by("taken_at", "pk"))
    film = {photo.pk: shown(photo, address) for photo in photos}
    lapse: TimeLapse | None = getattr(hull, "time_lapse", None)
    days = story(work.route, log_of(row.pk), film.values(), today)
    coming = _coming(live)
    sent = sent_to_owner(hull)
    papers = [paper for paper in sent if paper.holds]
    pays, remarks, colour = to_pay(row.pk, shop), remarks_of(row.pk), colour_of(row.pk)
    forecast = dates_of(row.pk) if work.state.handed_over_at is None else None
    may_collect, comes_on = ready_to_leave(work), coming_on(remarks, today)
    photo_days = frozenset(told_day.on for told_day in days if told_day.photos)
    skin = Skin(
        hull=hull,
        work=work,
        statuses=statuses,
        today=today,
        photo_days=photo_days,
        planned=next_days(hull.tag, shop.zone_info),
    )
    section = draw_section(skin.layers())
    return Progress(
        hull=hull,
        length=format_length(hull.length_m, UnitSystem(shop.units), parts_of_inch=8),
        looks=_("Your boat from the side, as it looks today: %(skin)s") % {"skin": skin_words(hull, work)},
        drawing=drawing_of(hull, work, sheet_scale(drawn_from(hull))),
        says=told(work, statuses, now),
        where=_where(work, today),
        handed_over=work.state.handed_over_at is not None,
        overdue=hull.promised_on is not None and hull.promised_on < today,
        steps_done=sum(1 for status in live if status.state is State.FINISHED),
        steps=len(live),
        coming=coming[:NEXT],
        coming_more=len(coming[NEXT:]),
        old_skin=Surface.SKIN in work.state.old_finish,
        section=section,
        planned=any(band.planned for band in section),
        days=days,
        film=tuple(film.values()),
        pairs=pairs_shown(photos, film),
        time_lapse=bool(lapse and lapse.shared),
        asks=tuple(paper for paper in papers if paper.is_open),
        agreed=tuple(document_of(p, work.route, now) for p in papers if p.answer in (Answer.APPROVED, Answer.DECLINED)),
        pays=pays,
        altered=len(papers) < len(sent),
        ready=ready(forecast, today) if isinstance(forecast, HullDatesShown) else None,
        undated=isinstance(forecast, NoDate),
        to_do=tuple(
            to_do(
                (paper for paper in papers if paper.is_open),
                colour,
                pays,
                question=any(remark.waits and not remark.is_owner_s for remark in remarks),
                collect=may_collect and comes_on is None,
            )
        ),
        thread=lines_of(remarks, film, now),
        colour=colour,
        may_collect=may_collect,
        comes_on=comes_on,
    )


def _coming(live: list[StageStatus]) -> tuple[str, ...]:
    head = headline(tuple(live))
    return tuple(stored(status.spec.name) for status in live if status is not head and status.state not in OVER)


def _where(work: Work, today: date) -> Where | None:
    stay, station = work.state.stay, work.station
    if stay is None or station is None:
        return None
    since = stay.since
    for earlier in reversed(work.state.stays[:-1]):
        if earlier.station != stay.station:
            break
        since = earlier.since
    return Where(name=stored(station.name), since=day(timezone.localtime(since).date(), today))
