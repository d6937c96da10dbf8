"""Outdoors: preservative goes on outdoors and stays out for its rain-free days; latex filler stays out of the sun."""

from datetime import date, datetime, time, timedelta

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.label import Dryness
from stages.engine.rulebook import COMMON_PRACTICE, find
from stages.engine.state import Coat
from stages.engine.vocab import Action, ProductKind, Surface
from stages.engine.work import Work

MORNING, EVENING = time(8), time(18)
TOO_FAST = gettext_noop("Latex filler dries too fast in the sun and cracks.")


def airing(work: Work) -> Coat | None:
    """The outermost preservative coat on the skin, while nothing lies over it."""
    top = work.state.top(Surface.SKIN)
    return top if top and work.product(top).dry_days_outdoors else None


def dry_days_done(work: Work, coat: Coat, at: datetime) -> int:
    """Days on record as free of rain that began with the hull outdoors, from the day after a coat went on to today."""
    tz = work.world.zone_info
    first, last = coat.at.astimezone(tz).date(), at.astimezone(tz).date()
    days = (first + timedelta(days=n) for n in range(1, (last - first).days + 1))
    return sum(1 for day in days if day in work.world.dry_days.get(_zone_on(work, coat, day), ()))


def _zone_on(work: Work, coat: Coat, day: date) -> int:
    """Where the hull stood as a day began; dry days are on record for outdoor zones alone."""
    midnight = datetime.combine(day, time(), work.world.zone_info)
    return [zone for zone, since in work.stood_in(coat) if since <= midnight][-1]


def _must_air(work: Work, ask: Ask) -> Finding | None:
    coat = airing(work)
    if coat is None or (ask.action is Action.COAT and ask.product and ask.product.dry_days_outdoors):
        return None
    product = work.product(coat)
    left = product.dry_days_outdoors - dry_days_done(work, coat, ask.at)
    if left <= 0:
        return None
    words = say(
        gettext_noop("The preservative has had %(done)s of its %(n)s rain-free days outdoors."),
        done=product.dry_days_outdoors - left,
        n=product.dry_days_outdoors,
    )
    clears = say(gettext_noop("Leave it out, and record each day without rain."))
    return find(RULE, words, clears, earliest=_aired_at(work, coat, ask.at, left))


def _aired_at(work: Work, coat: Coat, at: datetime, left: int) -> datetime:
    """When the last of the days that are left is over, if none of them sees rain: its evening, or the next morning."""
    tz = work.world.zone_info
    today = at.astimezone(tz).date()
    zone = _zone_on(work, coat, today) if today > coat.at.astimezone(tz).date() else None
    today_may_count = zone in work.world.outdoors and today not in work.world.dry_days.get(zone, ())
    last = today + timedelta(days=left - today_may_count)
    evening = datetime.combine(last, EVENING, tz)
    return evening if evening > at else datetime.combine(last + timedelta(days=1), MORNING, tz)


def _where(work: Work, ask: Ask) -> Finding | None:
    if ask.product is None:
        return None
    outside = ask.zone in work.world.outdoors
    if ask.product.dry_days_outdoors and not outside:
        return find(
            RULE,
            say(gettext_noop("The preservative goes on outdoors, for its fumes.")),
            say(gettext_noop("Move the hull to the yard on a dry day.")),
        )
    if ask.product.kind is ProductKind.LATEX_FILLER and outside:
        return find(
            RULE,
            say(TOO_FAST),
            say(gettext_noop("Fill the canvas indoors.")),
        )
    return None


def _into_the_sun(work: Work, ask: Ask) -> Finding | None:
    top = work.state.top(Surface.SKIN)
    if top is None or work.product(top).kind is not ProductKind.LATEX_FILLER:
        return None
    reached = work.dry_at(top, Dryness.TOPCOAT)
    if reached is None or (reached.at is not None and reached.at <= ask.at):
        return None
    return find(RULE, say(TOO_FAST), say(gettext_noop("Leave it indoors until it is dry.")), earliest=reached.at)


def _check(work: Work, ask: Ask) -> Finding | None:
    if ask.action is Action.COAT:
        on_skin = _must_air(work, ask) if ask.surface is Surface.SKIN else None
        return _where(work, ask) or on_skin
    if ask.action is Action.MOVE:
        outside = ask.station is None or ask.station.outdoors
        return _into_the_sun(work, ask) if outside else _must_air(work, ask)
    airs = ask.stage is not None and ask.stage.product is ProductKind.PRESERVATIVE
    return _must_air(work, ask) if airs else None


RULE = Rule(
    id="outdoors",
    title=gettext_noop("Outdoors"),
    holds=gettext_noop(
        "Preservative goes on outdoors and stays out for its count of rain-free days; latex filler stays out "
        "of direct sun."
    ),
    actions=frozenset({Action.COAT, Action.MOVE, Action.FINISH}),
    reason=gettext_noop("Preservative gives off fumes for days and must lose them where nobody breathes them."),
    source=COMMON_PRACTICE,
    check=_check,
)
