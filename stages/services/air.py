"""Readings of the air and the weather, by hand."""

import math
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from hulls.wording import gettext_noop
from shop.models import CrewMember, Pulse, Reading, WeatherDay, Zone
from stages.engine.errors import EngineError
from stages.services.record import CLOCK_SLACK


def record_reading(
    *, zone: Zone, at: datetime, air_c: float, rh_pct: float, by: CrewMember | None, surface_c: float | None = None
) -> Reading:
    """Record what somebody read off the thermometer and hygrometer of a zone; the same moment again corrects it.

    Raises
    ------
    EngineError
        For a time in the future, or air that no shop has.
    """
    if at > timezone.now() + CLOCK_SLACK:
        raise EngineError("at", gettext_noop("That time has not come yet."))
    if not math.isfinite(air_c) or not -40 <= air_c <= 50:
        raise EngineError("air_c", gettext_noop("The air of a shop lies between -40 and 50 °C."))
    if not math.isfinite(rh_pct) or not 0 <= rh_pct <= 100:
        raise EngineError("rh_pct", gettext_noop("Humidity runs from 0 to 100 %."))
    if surface_c is not None and (not math.isfinite(surface_c) or not -40 <= surface_c <= 70):
        raise EngineError("surface_c", gettext_noop("A hull's surface lies between -40 and 70 °C."))
    values = {"air_c": air_c, "rh_pct": rh_pct, "surface_c": surface_c, "by": by}
    with transaction.atomic():
        values["turn"] = Pulse.take_air_turn()
        reading, _ = Reading.objects.update_or_create(zone=zone, at=at, sensor=None, defaults=values)
    return reading


def record_weather(*, zone: Zone, day: date, dry: bool) -> WeatherDay:
    """Record whether a day was free of rain in an outdoor zone, whatever a gauge says; the same day again corrects it.

    Raises
    ------
    EngineError
        For a day to come, or a zone under a roof.
    """
    if not zone.outdoors:
        raise EngineError("zone", gettext_noop("It does not rain in there."))
    if day > timezone.localdate():
        raise EngineError("day", gettext_noop("That day has not come yet."))
    with transaction.atomic():
        Pulse.take_air_turn()
        said = {"dry": dry, "rain_mm": None}
        weather, _ = WeatherDay.objects.update_or_create(zone=zone, day=day, defaults=said)
    return weather
