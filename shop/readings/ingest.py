"""The one way in for what sensors and loggers read: known ones dropped, strange ones flagged, the others counted."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import TypeVar

from django.db import transaction
from django.utils.translation import gettext as _

from shop.models import CrewMember, Pulse, RainFall, Reading, Sensor
from shop.readings.before import Found, look_at
from shop.readings.gauge import record_weather_of
from shop.readings.pace import heard
from shop.readings.sample import Rain, Sample
from shop.readings.seen import Wrong
from shop.readings.stays import Stay, stays_of

Read = TypeVar("Read", Sample, Rain)
AT_ONCE = 500  # so many rows does a database take in one question


@dataclass(slots=True, kw_only=True)
class TakenIn:
    """What became of readings, by their place in the list that was given.

    Parameters
    ----------
    recorded, repeated : int
        How many are new, and how many were on record already, with the same value.
    flagged : dict
        What looks wrong with a new one; it is kept out of the clock until somebody decides.
    conflicts : dict
        Why one was not taken: another value for its moment is on record.
    """

    recorded: int = 0
    repeated: int = 0
    flagged: dict[int, Wrong] = field(default_factory=dict)
    conflicts: dict[int, str] = field(default_factory=dict)


def take_in(
    *,
    sensor: Sensor,
    now: datetime,
    air: Sequence[Sample] = (),
    rain: Sequence[Rain] = (),
    by: CrewMember | None = None,
    requests: int = 0,
) -> tuple[TakenIn, TakenIn]:
    """Take in what a sensor read, in one transaction.

    The same sensor and moment is one reading: sent again it changes nothing, and with another value the first stays.

    Parameters
    ----------
    sensor : Sensor
        Whose readings they are; each belongs to the zone in which it was then.
    now : datetime
        The moment.
    air, rain : sequence
        Checked readings, in any order.
    by : CrewMember, optional
        Who brought the file.
    requests : int
        Requests over HTTP to count against the sensor's pace.

    Returns
    -------
    (TakenIn, TakenIn)
        What became of the air, and of the rain.
    """
    with transaction.atomic():
        turn = Pulse.take_air_turn()
        taken_air = _take_air(sensor, air, turn, by)
        taken_rain = _take_rain(sensor, rain)
        heard(sensor=sensor, now=now, requests=requests)
    return taken_air, taken_rain


def _take_air(sensor: Sensor, air: Sequence[Sample], turn: int, by: CrewMember | None) -> TakenIn:
    rows = Reading.objects.filter(sensor=sensor, at__in=[sample.at for sample in air])
    columns = rows.values_list("at", "air_c", "rh_pct", "surface_c")
    held: dict[datetime, object] = {at: (air_c, rh_pct, surface_c) for at, air_c, rh_pct, surface_c in columns}
    taken, fresh = _new_ones(air, held, lambda sample: sample.values)
    if not fresh:
        return taken
    order = sorted(fresh, key=lambda index: air[index].at)
    for stay in stays_of(sensor):
        places = [index for index in order if stay.holds(air[index].at)]
        if places:
            wrong = _take_stay(sensor, stay, [air[index] for index in places], turn, by)
            taken.flagged |= {index: found for index, found in zip(places, wrong, strict=True) if found}
    return taken


def _take_stay(
    sensor: Sensor, stay: Stay, samples: list[Sample], turn: int, by: CrewMember | None
) -> list[Wrong | None]:
    found = look_at(sensor=sensor, stay=stay, samples=samples)
    flag_anew(found, turn=turn)
    Reading.objects.bulk_create(
        _row(sensor, stay, sample, wrong, turn, by) for sample, wrong in zip(samples, found.new, strict=True)
    )
    return found.new


def flag_anew(found: Found, *, turn: int) -> None:
    """Flag readings on record as they look now; those on which somebody decided stay as they are."""
    for wrong, rows in found.changed.items():
        for part in (rows[n : n + AT_ONCE] for n in range(0, len(rows), AT_ONCE)):
            held = Reading.objects.filter(pk__in=part, decided_at=None)
            held.update(flag=wrong.value if wrong else "", out=wrong is not None, turn=turn)


def _row(sensor: Sensor, stay: Stay, sample: Sample, wrong: Wrong | None, turn: int, by: CrewMember | None) -> Reading:
    return Reading(
        zone_id=stay.zone_id,
        sensor=sensor,
        at=sample.at,
        air_c=sample.air_c,
        rh_pct=sample.rh_pct,
        surface_c=sample.surface_c,
        by=by,
        flag=wrong.value if wrong else "",
        out=wrong is not None,
        turn=turn,
    )


def _take_rain(sensor: Sensor, rain: Sequence[Rain]) -> TakenIn:
    rows = RainFall.objects.filter(sensor=sensor, at__in=[fall.at for fall in rain])
    held: dict[datetime, object] = dict(rows.values_list("at", "rain_mm"))
    taken, fresh = _new_ones(rain, held, lambda fall: fall.rain_mm)
    if fresh:
        falls = [rain[index] for index in fresh]
        RainFall.objects.bulk_create(RainFall(sensor=sensor, at=fall.at, rain_mm=fall.rain_mm) for fall in falls)
        record_weather_of(moments=[fall.at for fall in falls])
    return taken


def _new_ones(
    reads: Sequence[Read], held: dict[datetime, object], value_of: Callable[[Read], object]
) -> tuple[TakenIn, list[int]]:
    """Tell the new ones, by their places, from those on record and those that stand in the list before."""
    taken, fresh = TakenIn(), []
    for index, read in enumerate(reads):
        if read.at not in held:
            held[read.at] = value_of(read)
            fresh.append(index)
        elif held[read.at] == value_of(read):
            taken.repeated += 1
        else:
            taken.conflicts[index] = _("Another value for this moment is on record; the first one stays.")
    taken.recorded = len(fresh)
    return taken, fresh
