"""The survey: what is broken, where it is, how the old finishes hold, and the photos of it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import BinaryIO
from uuid import uuid5

from hulls.wording import gettext_noop
from stages.engine.errors import EngineError
from stages.engine.findings import Ask
from stages.engine.log import EntryKind
from stages.engine.places import MOST_PLACES, Place, write_places
from stages.engine.vocab import Condition, Damage, Surface
from stages.models import HullWork
from stages.queries.routes import engine_route
from stages.services.desk import Desk
from stages.services.orders import Hand, Line, Outcome
from stages.services.photos import add_photo, check_photo
from stages.services.record import record

MOST_COUNTED = 500
Places = Mapping[str, Sequence[Place]]
Photos = Mapping[str, Sequence[BinaryIO]]


def write_survey(
    *,
    hull_id: int,
    counts: Mapping[str, int],
    conditions: Mapping[str, str],
    hand: Hand,
    places: Places | None = None,
    photos: Photos | None = None,
) -> Outcome:
    """Record what a survey counted, where, and how the old finishes hold; its photos stand at the steps that mend it.

    Parameters
    ----------
    counts : mapping of str to int
        By kind of damage; a kind with places alone counts as many as there are.
    conditions : mapping of str to str
        By surface.
    places : mapping of str to Place, optional
        By kind of damage, where it is; no more than were counted.
    photos : mapping of str to files, optional
        By kind of damage. Sent twice under the same number, each is kept once.

    Raises
    ------
    EngineError
        For a negative or absurd count, more places than were counted, words that a survey does not know, or a file
        that is no photo: ``ribs``, ``ribs_at`` or ``ribs_photos`` names the field. Then nothing is kept.
    """
    found = {damage: tuple(where) for damage, where in (places or {}).items() if where}
    counted = {**{damage: len(where) for damage, where in found.items()}, **counts}
    _check(counted, conditions, found)
    kept = _keep_photos(hull_id, hand, found, photos or {})
    details = {
        "counts": counted,
        "conditions": dict(conditions),
        **(
            {"places": {damage: [[p.rib, str(p.side)] for p in where] for damage, where in found.items()}}
            if found
            else {}
        ),
        **({"photos": kept} if kept else {}),
    }

    def plan(desk: Desk) -> tuple[Line, Ask | None]:
        return Line(kind=EntryKind.SURVEY, details=details), None

    return record(hull_id=hull_id, hand=hand, plan=plan)


def _check(counts: Mapping[str, int], conditions: Mapping[str, str], places: Places) -> None:
    for damage, count in counts.items():
        if damage not in set(Damage) or not 0 <= count <= MOST_COUNTED:
            raise EngineError(damage, gettext_noop("Counts run from 0 to 500."))
        where = places.get(damage, ())
        if len(where) > min(count, MOST_PLACES):
            raise EngineError(f"{damage}_at", gettext_noop("These are more places than were counted."))
    for surface, condition in conditions.items():
        if surface not in set(Surface) or condition not in set(Condition):
            raise EngineError(surface, gettext_noop("The survey does not know that surface or condition."))


def _keep_photos(hull_id: int, hand: Hand, places: Places, photos: Photos) -> dict[str, list[int]]:
    """By kind of damage, the numbers of its photos."""
    sent = {damage: tuple(files) for damage, files in photos.items() if files}
    if not sent:
        return {}
    for damage, files in sent.items():
        try:
            for file in files:
                check_photo(file)
        except EngineError as error:
            raise EngineError(f"{damage}_photos", error.message) from error
    route = engine_route(HullWork.objects.select_related("route").get(pk=hull_id).route)
    mends = {str(spec.counted): spec.key for spec in route.stages if spec.counted}
    kept: dict[str, list[int]] = {}
    for damage, files in sent.items():
        caption = f"{damage}: {write_places(tuple(places.get(damage, ())))}".rstrip(": ")[:200]
        for n, file in enumerate(files):
            own = replace(hand, client_id=uuid5(hand.client_id, f"{damage} {n}"))
            outcome = add_photo(hull_id=hull_id, file=file, hand=own, caption=caption, stage=mends.get(damage, ""))
            if outcome.entry is not None:
                kept.setdefault(damage, []).append(outcome.entry.details["photo"])
    return kept
