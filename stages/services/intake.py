"""Many hulls come in at once, from a sheet: all of them or none, unless only the good ones are wanted."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, time
from uuid import uuid4

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from hulls.intake import DateOrder, HullRow, HullSheet, RowProblem, SheetError
from hulls.models import Hull, Owner
from shop.models import CrewMember, Pulse
from stages import projector
from stages.engine.log import EntryKind, LogEntry
from stages.engine.replay import replay
from stages.engine.route import Route as EngineRoute
from stages.models import Entry, HullWork, Route
from stages.queries.intake import checked_rows, in_batches
from stages.queries.routes import engine_route
from stages.services.arrival import CAME_WITH, current_route
from stages.services.record import seal

# The only fields that a row and a hull call by the same name, and that are left at the hull's default where not given.
AS_GIVEN = (
    "name",
    "rocker_m",
    "hull_type",
    "wood",
    "fittings",
    "filler",
    "inside_varnish",
    "colour",
    "old_colour",
    "promised_on",
    "priority",
)
Watcher = Callable[[HullRow | RowProblem], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Intake:
    """What became of a sheet.

    Parameters
    ----------
    good, bad : int
        Rows that could be taken in, and rows with at least one problem.
    taken_in : int
        Hulls that were.
    """

    good: int
    bad: int
    taken_in: int = 0


def take_in_sheet(
    *,
    sheet: HullSheet,
    by: CrewMember,
    now: datetime,
    watch: Watcher,
    wrote: Callable[[int], None] = lambda count: None,
    date_order: DateOrder | None = None,
    keep_good: bool = False,
    dry_run: bool = False,
) -> Intake:
    """Take in the hulls of a sheet, in one transaction.

    Every row is checked first, outside the transaction, since on SQLite that keeps other writers waiting; then the
    good rows are read again and written by the handful.

    Parameters
    ----------
    sheet : HullSheet
        The sheet, opened.
    by : CrewMember
        Who takes the hulls in.
    now : datetime
        The moment, in the shop's time zone; a hull without a date of arrival arrived then.
    watch : callable
        Is told of each good row and of each problem as the rows are checked.
    wrote : callable
        Is told how many hulls are written, handful by handful.
    date_order : DateOrder or None
        The order of dates that are not ISO.
    keep_good : bool
        Whether good rows are taken in though others are bad.
    dry_run : bool
        Whether nothing is written at all.

    Raises
    ------
    SheetError
        Another hull took one of the tags meanwhile. Nothing was written.
    EngineError
        No route is published. Nothing was written.
    """

    def rows() -> Iterator[HullRow | RowProblem]:
        return checked_rows(sheet=sheet, today=now.date(), date_order=date_order)

    good, bad = _count(rows(), watch)
    if dry_run or not good or (bad and not keep_good):
        return Intake(good=good, bad=bad)
    try:
        with transaction.atomic():
            taken_in = _write_all(rows(), by, now, wrote)
            if taken_in != good:
                raise IntegrityError
    except IntegrityError:
        raise SheetError(
            _("Somebody took in a hull with one of these tags just now. Nothing was taken in; try again.")
        ) from None
    return Intake(good=good, bad=bad, taken_in=taken_in)


def _count(found: Iterator[HullRow | RowProblem], watch: Watcher) -> tuple[int, int]:
    good = bad = last_bad = 0
    for one in found:
        watch(one)
        if isinstance(one, HullRow):
            good += 1
        elif one.row != last_bad:
            bad, last_bad = bad + 1, one.row
    return good, bad


def _write_all(
    found: Iterator[HullRow | RowProblem], by: CrewMember, now: datetime, wrote: Callable[[int], None]
) -> int:
    route, count = current_route(), 0
    for batch in in_batches(one for one in found if isinstance(one, HullRow)):
        _write(batch, route, by, now)
        count += len(batch)
        wrote(count)
    Pulse.bump()
    return count


def _write(batch: list[HullRow], route: Route, by: CrewMember, now: datetime) -> None:
    owners = _owners(batch)
    hulls = Hull.objects.bulk_create(_hull(row, owners[_who(row)], now) for row in batch)
    entries = [_entry(hull, by, now) for hull in hulls]
    HullWork.objects.bulk_create(_work(entry, route, engine_route(route)) for entry in entries)
    Entry.objects.bulk_create(entries)


def _who(row: HullRow) -> tuple[str, str, str]:
    return row.owner, row.email, row.phone


def _owners(batch: list[HullRow]) -> dict[tuple[str, str, str], Owner]:
    """Owners of a batch: the same name, e-mail and telephone is the same person."""
    held = Owner.objects.filter(name__in={row.owner for row in batch}).order_by("-pk")
    owners = {(owner.name, owner.email, owner.phone): owner for owner in held}
    missing = [who for who in dict.fromkeys(map(_who, batch)) if who not in owners]
    made = Owner.objects.bulk_create(Owner(name=name, email=email, phone=phone) for name, email, phone in missing)
    return owners | dict(zip(missing, made, strict=True))


def _hull(row: HullRow, owner: Owner, now: datetime) -> Hull:
    given = {name: value for name in AS_GIVEN if (value := getattr(row, name)) not in ("", None)}
    if row.colour:
        given["colour_name"] = row.colour_name or row.colour
    return Hull(
        tag=row.tag,
        owner=owner,
        length_m=row.length_m,
        beam_m=row.beam_m,
        depth_m=row.depth_m,
        end_depth_m=row.end_depth_m,
        arrived_on=row.arrived_on or now.date(),
        notes=row.notes,
        **given,
    )


def _entry(hull: Hull, by: CrewMember, now: datetime) -> Entry:
    # The first minute of the day, so that whatever was done on that day comes after it.
    arrived = datetime.combine(hull.arrived_on, time.min, tzinfo=now.tzinfo)
    entry = Entry(
        client_id=uuid4(),
        hull=hull,
        number=1,
        kind=EntryKind.ARRIVED,
        at=arrived,
        recorded_at=now,
        by=by,
        details={"old_finish": [str(surface) for surface in CAME_WITH]},
    )
    entry.seal = seal(entry, "")
    return entry


def _work(entry: Entry, route: Route, engine: EngineRoute) -> HullWork:
    row = HullWork(hull_id=entry.hull_id, route=route)
    line = LogEntry(id=1, kind=EntryKind.ARRIVED, at=entry.at, by=entry.by_id, details=entry.details)
    projector.fill(row, replay(engine, [line]), lines=1)
    return row
