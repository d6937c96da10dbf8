"""Place: the hull is at a station of the kind that the stage needs, and where it goes there is a free place."""

from dataclasses import replace

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import COMMON_PRACTICE, find
from stages.engine.vocab import Action
from stages.engine.work import Work


def _check(work: Work, ask: Ask) -> Finding | None:
    if ask.action is Action.MOVE:
        if ask.station is None or ask.station.free:
            return None
        words = say(gettext_noop("No place is free at %(station)s."), station=ask.station.name)
        full = find(RULE, words, say(gettext_noop("Move another hull away from there first.")))
        return replace(full, safety=True)  # no reason that an owner could write makes room on a rail
    wanted = ask.stage.station if ask.stage else None
    if wanted is None or (work.station is not None and work.station.kind is wanted):
        return None
    stations = list(work.world.of_kind(wanted))
    names = " / ".join(station.name for station in stations) or wanted.value
    words = say(gettext_noop("%(tag)s is not at %(station)s."), tag=work.tag, station=names)
    if any(station.free for station in stations):
        clears = say(gettext_noop("Move it there: a place is free."))
    else:
        clears = say(gettext_noop("Wait for a place there: none is free."))
    return find(RULE, words, clears)


RULE = Rule(
    id="place",
    title=gettext_noop("Place"),
    holds=gettext_noop(
        "The hull is at a station of the kind that the stage needs, and where it goes there is a free place."
    ),
    actions=frozenset({Action.START, Action.COAT, Action.MOVE}),
    reason=gettext_noop("Tools, air and dust differ from station to station, and two hulls do not fit on one rail."),
    source=COMMON_PRACTICE,
    check=_check,
    standing=False,
)
