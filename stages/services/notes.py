"""What is recorded of a hull beside its stages: moves, survey, finds, moisture, lead test, notes, strikes."""

from dataclasses import replace

from django.utils import timezone

from hulls.wording import gettext_noop
from stages.engine.errors import EngineError
from stages.engine.findings import Ask
from stages.engine.log import EntryKind, in_force
from stages.engine.vocab import Action, Damage
from stages.finish.receipt import leans_on_paper
from stages.services.desk import Desk, already, telling
from stages.services.orders import Hand, Line, Outcome
from stages.services.photos import strike_photo
from stages.services.record import record
from stages.services.survey import MOST_COUNTED
from stages.services.survey import write_survey as write_survey  # part of what is recorded beside the stages
from stages.services.texts import checked_reason, checked_text

NOTE_LENGTH = 4000


def move_hull(*, hull_id: int, station: int, hand: Hand, place: int | None = None) -> Outcome:
    """Move a hull to a place at a station; the first free one when ``place`` is left out.

    Raises
    ------
    EngineError
        For a station that the shop has not, or a place that is taken or does not exist.
    """

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        to = desk.work.world.stations.get(station)
        if to is None:
            raise EngineError("station", gettext_noop("The shop has no such station."))
        if any(stay.since > hand.at for stay in desk.work.state.stays):
            to = replace(to, taken=frozenset())  # it was moved on since: who stands there now is no matter
        elif _stands_there(desk, station, place):
            return already(desk, EntryKind.MOVED)
        if place is not None and to.free and place not in to.free:
            raise EngineError("place", gettext_noop("That place is not free."))
        ask = Ask(action=Action.MOVE, at=hand.at, station=to)
        number = place or (to.free[0] if to.free else 0)
        details = {"station": to.id, "place": number, "zone": to.zone, "name": to.name}
        return Line(kind=EntryKind.MOVED, details=details), ask

    return record(hull_id=hull_id, hand=hand, plan=plan)


def _stands_there(desk: Desk, station: int, place: int | None) -> bool:
    stay = desk.work.state.stay
    return stay is not None and stay.station == station and place in (None, stay.place)


def add_find(*, hull_id: int, damage: str, count: int, hand: Hand, note: str = "") -> Outcome:
    """Record more damage found on the way; a finished stage that mends it opens again."""
    if damage not in set(Damage):
        raise EngineError("damage", gettext_noop("Choose what was found."))
    if not 1 <= count <= MOST_COUNTED:
        raise EngineError("count", gettext_noop("Counts run from 1 to 500."))
    details = {"damage": damage, "count": count, "note": checked_text(note, "note", 400, empty=True)}
    return _plain(hull_id, hand, Line(kind=EntryKind.FOUND, details=details))


def record_moisture(*, hull_id: int, moisture_pct: float, hand: Hand, spot: str = "") -> Outcome:
    """Record a moisture reading of the wood, in percent of dry mass."""
    if not 2.0 <= moisture_pct <= 120.0:
        raise EngineError("moisture_pct", gettext_noop("Wood moisture runs from 2 to 120 %."))
    details = {"moisture_pct": moisture_pct, "spot": checked_text(spot, "spot", 80, empty=True)}
    return _plain(hull_id, hand, Line(kind=EntryKind.MOISTURE, details=details))


def record_lead_test(*, hull_id: int, positive: bool, hand: Hand, how: str = "") -> Outcome:
    """Record a lead test of the old finish."""
    details = {"positive": positive, "how": checked_text(how, "how", 200, empty=True)}
    return _plain(hull_id, hand, Line(kind=EntryKind.LEAD_TEST, details=details))


def write_note(*, hull_id: int, text: str, hand: Hand, stage: str = "") -> Outcome:
    """Write an internal note; a boat's owner never sees it."""
    line = Line(kind=EntryKind.NOTE, stage=stage, details={"text": checked_text(text, "text", NOTE_LENGTH)})
    return _plain(hull_id, hand, line)


def strike_entry(*, hull_id: int, number: int, reason: str, hand: Hand) -> Outcome:
    """Strike a line of the log, with a reason; refused where later lines lean on it.

    A photo goes with its line: off every page at once, off the disk after the shop's period.

    Raises
    ------
    EngineError
        When there is no such line, it is struck already, or it is an arrival, a link, an estimate or a strike.
    """

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        target = next((entry for entry in desk.log if entry.id == number), None)
        if target is None:
            raise EngineError("number", gettext_noop("The log has no such line."))
        if target.kind in (EntryKind.STRIKE, EntryKind.ARRIVED, EntryKind.LINK, EntryKind.ESTIMATE):
            raise EngineError("number", gettext_noop("This line cannot be struck."))
        if any(e.kind is EntryKind.STRIKE and e.details["entry"] == number for e in desk.log):
            raise EngineError("number", gettext_noop("This line is struck already."))
        details = {"entry": number, "reason": checked_reason(reason)}
        if target.kind is EntryKind.PHOTO:
            if target.details.get("changed"):
                raise EngineError("number", gettext_noop("Change the photo once more instead."))
            if leans_on_paper(in_force(desk.log), target.details["photo"]):
                raise EngineError("number", gettext_noop("The hand-over was signed for on it. Strike that first."))
            strike_photo(hull_id=hull_id, photo=target.details["photo"], at=timezone.now())
        return Line(kind=EntryKind.STRIKE, stage=target.stage, details=details), None

    return record(hull_id=hull_id, hand=hand, plan=plan)


def _plain(hull_id: int, hand: Hand, line: Line) -> Outcome:
    return record(hull_id=hull_id, hand=hand, plan=telling(line))
