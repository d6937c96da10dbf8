"""What the shop's owner does with sensors: add one, give it a token, withdraw it, and decide on what was flagged."""

import secrets
from datetime import datetime
from hashlib import sha256

from django.db import transaction

from shop.models import CrewMember, Flag, Pulse, Reading, Sensor, SensorMove, Zone
from shop.readings.before import look_again
from shop.readings.ingest import flag_anew
from shop.readings.stays import stays_of

TOKEN_BYTES = 24


def digest_of(token: str) -> str:
    """What the table knows of a token. It is random and long, so a plain hash keeps it."""
    return sha256(token.encode()).hexdigest()


def add_sensor(
    *, name: str, zone: Zone, every_min: int, sends: bool, by: CrewMember | None
) -> tuple[Sensor, str | None]:
    """Add a sensor to a zone.

    Parameters
    ----------
    name : str
        What the shop calls it.
    zone : Zone
        Whose air it reads.
    every_min : int
        Minutes between its readings.
    sends : bool
        Whether it sends them itself and needs a token; otherwise somebody brings its file.
    by : CrewMember or None
        Who adds it.

    Returns
    -------
    (Sensor, str or None)
        The sensor, and its token, which is shown now or never.
    """
    token = new_token() if sends else None
    digest = digest_of(token) if token else None
    sensor = Sensor.objects.create(name=name, zone=zone, every_min=every_min, token_digest=digest, added_by=by)
    return sensor, token


def renew_token(*, sensor: Sensor) -> str:
    """Give a sensor another token, also one that was withdrawn; the old one opens nothing any more."""
    token = new_token()
    Sensor.objects.filter(pk=sensor.pk).update(token_digest=digest_of(token), withdrawn_at=None)
    return token


def withdraw(*, sensor: Sensor, now: datetime) -> bool:
    """Take a sensor's token away; its readings stay. Return whether it had one."""
    held = Sensor.objects.filter(pk=sensor.pk, withdrawn_at=None)
    return held.update(token_digest=None, withdrawn_at=now) > 0


def change_sensor(*, sensor: Sensor, name: str, every_min: int, unit: str) -> None:
    """Change a sensor's name, the minutes between its readings, and the unit of its files."""
    Sensor.objects.filter(pk=sensor.pk).update(name=name, every_min=every_min, unit=unit)


def move_sensor(*, sensor: Sensor, zone: Zone, at: datetime, by: CrewMember) -> bool:
    """Carry a sensor to another zone, from a moment on; what it read before stays the air of the zone it was in.

    What it read since belongs to the new zone, and is looked at anew: air there need not go on from where it was.

    Parameters
    ----------
    sensor : Sensor
        Which.
    zone : Zone
        Where it hangs now.
    at : datetime
        Since when; not before its last move.
    by : CrewMember
        Who says so.

    Returns
    -------
    bool
        Whether it was elsewhere before.
    """
    with transaction.atomic():
        turn = Pulse.take_air_turn()
        held = Sensor.objects.select_for_update().get(pk=sensor.pk)
        if held.zone_id == zone.pk:
            return False
        SensorMove.objects.create(sensor=held, left=held.zone, at=at, by=by)
        held.zone = zone
        held.save(update_fields=["zone"])
        Reading.objects.filter(sensor=held, at__gte=at).update(zone=zone, turn=turn)
        flag_anew(look_again(sensor=held, stay=stays_of(held)[-1]), turn=turn)
        Pulse.bump(air=True)
    return True


def decide(
    *, sensor: Sensor, flag: Flag, first: datetime, last: datetime, take_in: bool, by: CrewMember, now: datetime
) -> int:
    """Take flagged readings into the clock, or keep them out for good; a later decision may be the other way.

    Parameters
    ----------
    sensor : Sensor
        Whose readings.
    flag : Flag
        What looked wrong with them.
    first, last : datetime
        From and to which moment, both included.
    take_in : bool
        Whether they count.
    by : CrewMember
        Who decides.
    now : datetime
        The moment.

    Returns
    -------
    int
        How many readings stand otherwise than before, or were undecided.
    """
    flagged = Reading.objects.filter(sensor=sensor, flag=flag, at__range=(first, last))
    with transaction.atomic():
        turn = Pulse.take_air_turn()
        open_ones = flagged.exclude(out=not take_in, decided_at__isnull=False)
        return open_ones.update(out=not take_in, decided_by=by, decided_at=now, turn=turn)


def new_token() -> str:
    """A token that nobody guesses, of letters, digits, dashes and underscores."""
    return secrets.token_urlsafe(TOKEN_BYTES)
