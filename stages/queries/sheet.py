"""One hull's sheet: head, steps in hand, plan of work, surfaces, log, photos; in a fixed number of queries."""

from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property

from django.utils import timezone
from django.utils.translation import gettext as _

from hulls.drawing import HullDrawing, sheet_scale
from hulls.models import Hull, ProgressLink, Remark
from hulls.photo_shown import Shown
from hulls.sizes import drawn_from
from hulls.skin_section import Band, draw_section
from shop.models import Pulse
from shop.units import UnitSystem, format_length
from stages.engine.assess import StageStatus, assess, headline
from stages.engine.vocab import State
from stages.engine.work import Work
from stages.models import Entry, HullWork
from stages.owner.layers import Skin
from stages.owner.ready import span_of
from stages.queries.dates import in_words, newest_dates
from stages.queries.estimates import Entered, of_hull
from stages.queries.foreseen import holds_until, version_of
from stages.queries.lines import body_plan_version
from stages.queries.looks import drawing_of
from stages.queries.photos import for_the_crew, in_sight
from stages.queries.sheet_coat import drying_coat
from stages.queries.sheet_log import LogRow, log_rows
from stages.queries.sheet_skin import SurfaceRow, skin_words, surface_rows
from stages.queries.sheet_steps import StepRow, cautioned_once, not_asked_for, said_above, step_row
from stages.queries.sheet_wood import WoodWords, wood_of
from stages.queries.work import InWork, in_work
from stages.queries.world import Around, SetUp, around

LATEST = 8  # lines of the log that a sheet shows unless more is asked for
LATEST_PHOTOS = 6
IN_HAND = (State.READY, State.ON_BENCH, State.DRYING)


@dataclass(frozen=True)
class AtHand:
    """A hull's row, the engine's view of it, and the shop around it, at one moment."""

    row: HullWork
    work: Work
    shop: Around
    now: datetime

    @property
    def setup(self) -> SetUp:
        """The shop's stations, zones and products."""
        return self.shop.setup

    @property
    def hull(self) -> Hull:
        """The boat."""
        return self.row.hull

    @cached_property
    def statuses(self) -> tuple[StageStatus, ...]:
        """Every stage of the route as it stands."""
        return assess(self.work, self.now)

    @cached_property
    def in_hand(self) -> tuple[StageStatus, ...]:
        """The stages that hands can start or have started; else the one that speaks for the hull."""
        found = tuple(status for status in self.statuses if status.state in IN_HAND)
        head = headline(self.statuses)
        return found or ((head,) if head else ())


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What the sheet shows of a hull, ready to read.

    ``body_plan`` is the version of that picture; ``ready`` are the early and the late day of the forecast, ``no_date``
    says why there are none; ``earlier`` counts the lines of the log that it leaves out.
    """

    hull: Hull
    version: str
    sizes: tuple[tuple[str, str], ...]
    drawing: HullDrawing
    body_plan: str
    skin: str
    stands: str
    place: int | None
    late: bool
    ready: str
    no_date: str
    handed_over_at: datetime | None
    bands: tuple[Band, ...]
    now: tuple[StepRow, ...]
    plan: tuple[StepRow, ...]
    not_asked_for: tuple[str, ...]
    surfaces: tuple[SurfaceRow, ...]
    wood: WoodWords | None
    log: tuple[LogRow, ...]
    earlier: int
    photos: tuple[Shown, ...]
    more_photos: int
    link_since: datetime | None
    agreements: tuple[Entered, ...]
    unanswered: int


def at_hand(*, tag: str, pulse: Pulse, now: datetime) -> AtHand | None:
    """A hull with all that its forms and its sheet are made from; None where the shop has no such tag.

    Parameters
    ----------
    tag : str
        The hull's tag.
    pulse : Pulse
        The stamps as the request read them.
    now : datetime
        The moment, aware.
    """
    row = (
        HullWork.objects.select_related("hull__owner", "hull__before", "route", "station").filter(hull__tag=tag).first()
    )
    if row is None:
        return None
    shop = around(pulse=pulse)
    return AtHand(row=row, work=in_work([row], shop.world)[0].work, shop=shop, now=now)


def sheet_of(at_hand: AtHand, *, whole_log: bool = False) -> Sheet:
    """The sheet of a hull, in eight queries more; of its log the last lines, or all."""
    row, hull, work, now = at_hand.row, at_hand.hull, at_hand.work, at_hand.now
    steps = {status.spec.key: step_row(work, status, now) for status in at_hand.statuses}
    link = ProgressLink.objects.filter(hull_id=hull.pk, withdrawn_at__isnull=True).first()
    entries = tuple(Entry.objects.filter(hull_id=hull.pk).select_related("by").order_by("number"))
    log = log_rows(entries, work, at_hand.setup, now)
    photos = tuple(for_the_crew(photo, work.route) for photo in reversed(in_sight(hull.pk)))
    today = timezone.localtime(now).date()
    told = newest_dates([hull.pk] if row.handed_over_at is None else []).get(hull.pk)
    return Sheet(
        hull=hull,
        version=version_of(at_hand.shop.pulse, _holds_until(at_hand)),
        sizes=sizes_of(hull, UnitSystem(at_hand.setup.shop.units)),
        drawing=drawing_of(hull, work, sheet_scale(drawn_from(hull))),
        body_plan=body_plan_version(hull),
        skin=skin_words(hull, work),
        stands=row.station.name if row.station else "",
        place=row.place,
        late=bool(hull.promised_on and hull.promised_on < today and row.handed_over_at is None),
        ready=span_of(told.days.early, told.days.late, today) if told and told.days else "",
        no_date=in_words(told.no_date) if told else "",
        handed_over_at=row.handed_over_at,
        bands=draw_section(Skin(hull=hull, work=work, statuses=at_hand.statuses, today=today).layers()),
        now=cautioned_once(_in_hand(at_hand, status, steps[status.spec.key]) for status in at_hand.in_hand),
        plan=said_above(steps.values(), {status.spec.key for status in at_hand.in_hand}),
        not_asked_for=not_asked_for(at_hand.statuses),
        surfaces=surface_rows(work, at_hand.setup, now),
        wood=wood_of(work, now),
        log=log if whole_log else log[:LATEST],
        earlier=0 if whole_log else len(log[LATEST:]),
        photos=photos[:LATEST_PHOTOS],
        more_photos=len(photos[LATEST_PHOTOS:]),
        link_since=link.made_at if link else None,
        agreements=of_hull(hull, now),
        unanswered=Remark.objects.waiting_for_shop().filter(hull=hull.pk).count(),
    )


def _in_hand(at_hand: AtHand, status: StageStatus, row: StepRow) -> StepRow:
    return replace(row, dries=drying_coat(at_hand.work, status.drying, at_hand.setup, at_hand.now))


def sizes_of(hull: Hull, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    """A hull's four measures in the shop's units, each with its name."""
    measures = (
        (_("Length"), hull.length_m),
        (_("Beam"), hull.beam_m),
        (_("Depth amidships"), hull.depth_m),
        (_("Depth at the ends"), hull.end_depth_m),
    )
    return tuple((name, format_length(metres, units)) for name, metres in measures)


def _holds_until(at_hand: AtHand) -> datetime:
    return holds_until(at_hand.shop, [(InWork(at_hand.row, at_hand.work), at_hand.statuses)], at_hand.now)
