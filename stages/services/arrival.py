"""A hull comes in: its row, its plan of work, and the first line of its log."""

from collections.abc import Iterable
from contextlib import suppress

from django.db import IntegrityError, transaction
from django.utils import timezone

from hulls.lines import LinesError
from hulls.models import Hull
from hulls.offsets.kept import read_kept
from hulls.services.lines import record_lines
from hulls.wording import gettext_noop
from shop.models import Pulse
from stages.engine.errors import EngineError
from stages.engine.log import EntryKind
from stages.engine.vocab import Gate, Surface
from stages.models import HullWork, Route, RouteStage
from stages.queries.routes import read_route
from stages.services.desk import telling
from stages.services.orders import Hand, Line, Outcome
from stages.services.record import check_time, record

CAME_WITH = tuple(Surface)


def current_route() -> Route:
    """The route version that new hulls take.

    Raises
    ------
    EngineError
        When none was published.
    """
    route = Route.objects.filter(current=True).first()
    if route is None:
        raise EngineError("route", gettext_noop("No route is published yet. Publish one in the admin pages first."))
    return route


def take_in(*, hull: Hull, hand: Hand, old_finish: Iterable[Surface] = CAME_WITH) -> Outcome:
    """Begin the work on a hull: save it, give it the current route, and log its arrival.

    Parameters
    ----------
    hull : Hull
        The boat, saved or not, and so its owner; its fields were checked by whoever made it.
    hand : Hand
        Who takes it in, and when.
    old_finish : iterable of Surface
        Surfaces that carry an old finish.

    Raises
    ------
    EngineError
        When no route is published, the time lies in the future, or another hull has the tag.
    """
    check_time(hand)
    with transaction.atomic():
        route = current_route()
        if Hull.objects.filter(tag__iexact=hull.tag).exclude(pk=hull.pk).exists():
            raise EngineError("tag", gettext_noop("The shop has a hull with this tag already."))
        if hull.owner.pk is None:
            hull.owner.save()
        hull.save()
        HullWork.objects.create(hull=hull, route=route)
        details = {"old_finish": [str(surface) for surface in old_finish]}
        line = Line(kind=EntryKind.ARRIVED, details=details)
        return record(hull_id=hull.pk, hand=hand, plan=telling(line))


def check_comes_back(before: Hull) -> None:
    """Refuse a boat that never left, or is here again already.

    Raises
    ------
    EngineError
        With ``tag`` as its field.
    """
    if HullWork.objects.filter(hull=before, handed_over_at__isnull=True).exists():
        raise EngineError("tag", gettext_noop("That boat was not handed over yet."))
    if Hull.objects.filter(before=before).exists():
        raise EngineError("tag", gettext_noop("That boat came in again already."))


def take_in_again(*, hull: Hull, before: Hull, hand: Hand, old_finish: Iterable[Surface] = CAME_WITH) -> Outcome:
    """Begin the work on a boat that was here before: a new log and route, linked to the record of the time before.

    Its lines, where they were taped, come along as far as they still fit its measures. Arguments and refusals as of
    `take_in`.

    Raises
    ------
    EngineError
        As `take_in`; or the boat was never handed over, or is here again already.
    """
    with transaction.atomic():
        check_comes_back(Hull.objects.select_for_update(of=("self",)).get(pk=before.pk))
        hull.before = before
        outcome = take_in(hull=hull, hand=hand, old_finish=old_finish)
        if before.lines_table:
            with suppress(LinesError):
                record_lines(hull_id=hull.pk, lines=read_kept(before.lines_table), by=hand.by, now=hand.at)
    return outcome


def change_hull(*, hull: Hull) -> None:
    """Save what was changed of a hull's own particulars.

    Raises
    ------
    EngineError
        When another hull took the same tag just now.
    """
    try:
        with transaction.atomic():
            hull.owner.save()
            hull.save()
            Pulse.bump()
    except IntegrityError as error:
        raise EngineError("tag", gettext_noop("The shop has a hull with this tag already.")) from error


def publish_route(*, route: Route) -> None:
    """Make a route version the one that new hulls take; from then on it is never changed.

    Raises
    ------
    EngineError
        When its stages do not make a route, or not one alone hands the boat over: with none it would never leave the
        floor, and behind the first nothing is done any more.
    """
    with transaction.atomic():
        stages = read_route(route.pk, route.name, route.version).stages
        homeward = sum(Gate.HAND_OVER in spec.gates for spec in stages)
        if homeward != 1:
            needs = gettext_noop("A route needs a step that hands the boat over.")
            raise EngineError("stages", gettext_noop("One step alone hands the boat over.") if homeward else needs)
        Route.objects.filter(current=True).update(current=False)
        route.published_at, route.current = route.published_at or timezone.now(), True
        route.save()
        Pulse.bump(setup=True)


def next_version(*, route: Route) -> Route:
    """A draft of the next version, stage by stage like this one."""
    with transaction.atomic():
        last = Route.objects.filter(name=route.name).order_by("-version").values_list("version", flat=True)[0]
        draft = Route.objects.create(name=route.name, version=last + 1)
        copies: dict[int, tuple[RouteStage, list[int]]] = {}
        for stage in route.stages.prefetch_related("after"):
            befores, old = list(stage.after.all()), stage.pk
            stage.pk, stage.route, stage._state.adding = None, draft, True
            stage.save()
            copies[old] = (stage, [before.pk for before in befores])
        for copy, waits in copies.values():
            copy.after.set([copies[pk][0] for pk in waits])
    return draft
