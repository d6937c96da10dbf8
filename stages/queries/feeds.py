"""What a calendar feed holds: the sittings of the plan that holds, and the days by which boats are done."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo

from django.conf import settings
from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from hulls.models import Hull
from hulls.tokens import token_hash
from shop.models import CrewMember, Shop
from stages.calendars.ics import Planned, written
from stages.models import Feed, HullDates
from stages.planner.problem import Problem, Step
from stages.planner.schedule import Schedule, Sitting
from stages.queries.dates import newest_dates
from stages.queries.planning.grid import SLOT
from stages.queries.planning.people import key_of
from stages.queries.plans import held_plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """A calendar of which an address can be made: what stands for it in a form, and its name."""

    value: str
    name: str


def open_feeds() -> QuerySet[Feed]:
    """The feeds that open: not withdrawn, nor of somebody who left the shop, nor made by one, who has the address."""
    theirs = Q(person=None) | Q(person__is_active=True)
    found = Feed.objects.filter(theirs, withdrawn_at=None, made_by__is_active=True)
    return found.select_related("hull", "person", "made_by")


def open_feed(token: str) -> Feed | None:
    """The feed of a token; a wrong one costs the same look-up as a withdrawn one."""
    return open_feeds().filter(token_hash=token_hash(token)).first()


def name_of(feed: Feed, shop: Shop) -> str:
    """What a calendar is called."""
    if feed.hull:
        return f"{feed.hull.tag} {feed.hull.name}".strip()
    return f"{shop.name}: {feed.person.called}" if feed.person else shop.name


def offered_to(person: CrewMember, people: Iterable[CrewMember], hulls: Iterable[Hull]) -> Iterator[Offered]:
    """The calendars of which somebody may make an address: one's own and every boat's; for the shop's owner all."""
    if person.is_shop_owner:
        yield Offered(value="shop", name=_("the whole shop"))
    for one in people:
        if person.is_shop_owner or one.pk == person.pk:
            yield Offered(value=f"p{one.pk}", name=one.called)
    for hull in hulls:
        yield Offered(value=f"h{hull.pk}", name=f"{hull.tag} {hull.name}".strip())


def calendar_of(feed: Feed, shop: Shop) -> bytes:
    """A feed as iCalendar; empty before the first plan."""
    held = held_plan()
    events: list[Planned] = []
    if held:
        events += _sittings(feed, held.problem, held.schedule, shop.zone_info)
        events += _days(feed, held.problem)
    return written(name_of(feed, shop), events, held.made_at if held else feed.made_at)


def _sittings(feed: Feed, problem: Problem, schedule: Schedule, zone_info: tzinfo) -> Iterator[Planned]:
    people = {person.key: person.name for person in problem.people}
    places = {resource.key: resource.title for resource in problem.resources}
    for step in problem.steps:
        placed = schedule.by_step.get(step.key)
        if placed is None or (feed.hull and step.job != feed.hull.tag):
            continue
        for sitting in placed.sittings:
            wanted = sitting.person is not None and (feed.person_id is None or sitting.person == key_of(feed.person_id))
            if wanted and problem.start and sitting.end > 0:
                yield _sitting(problem.start, step, sitting, zone_info, people, places)


def _sitting(
    start: datetime, step: Step, sitting: Sitting, zone_info: tzinfo, people: dict[str, str], places: dict[str, str]
) -> Planned:
    title = _("sanding after a missed recoat window") if sitting.number == 0 else step.title
    return Planned(
        uid=f"{step.key}/{sitting.number}@{settings.PUBLIC_HOST}",
        start=(start + sitting.start * SLOT).astimezone(zone_info),
        end=(start + sitting.end * SLOT).astimezone(zone_info),
        summary=f"{step.job} {title}",
        place=next((places[use.resource] for use in step.uses), ""),
        words=people.get(sitting.person or "", ""),
    )


def _days(feed: Feed, problem: Problem) -> Iterator[Planned]:
    """When boats are likely done, and what was promised; nothing of it in a person's own calendar."""
    if feed.person_id is not None:
        return
    tags = [feed.hull.tag] if feed.hull else [job.key for job in problem.jobs]
    hulls = {hull.pk: hull for hull in Hull.objects.filter(tag__in=tags, work__handed_over_at=None)}
    for pk, dates in newest_dates(hulls).items():
        yield from _of_hull(hulls[pk], dates)


def _of_hull(hull: Hull, dates: HullDates) -> Iterator[Planned]:
    name = f"{hull.tag} {hull.name}".strip()
    days: list[tuple[str, date, str, str]] = []
    if told := dates.days:
        span = {"early": told.early.isoformat(), "late": told.late.isoformat()}
        days.append(("likely", told.likely, _("%(hull)s likely done"), _("Between %(early)s and %(late)s.") % span))
    if hull.promised_on:
        days.append(("promised", hull.promised_on, _("%(hull)s promised"), ""))
    for key, day, words, more in days:
        yield Planned(
            uid=f"{hull.tag}/{key}@{settings.PUBLIC_HOST}",
            start=day,
            end=day + timedelta(days=1),
            summary=words % {"hull": name},
            words=more,
        )
