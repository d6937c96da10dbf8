"""What pictures of the air show: its lines in the shop's units, a zone's outlook, and its days in a table."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo

import numpy as np
from django.utils.formats import number_format
from django.utils.translation import gettext as _

from shop.models import Zone
from shop.units import UnitSystem, convert, format_temperature
from stages.engine.air import FloatArray
from stages.engine.airlog import AirLog
from stages.engine.alongair import AlongAir
from stages.engine.projection import Outlook, Projection
from stages.pictures.strips import Series
from stages.queries.ahead import projection_of


@dataclass(frozen=True, slots=True)
class Degrees:
    """Temperatures as the shop reads them."""

    units: UnitSystem

    @property
    def unit(self) -> str:
        """The unit's sign."""
        return "°F" if self.units is UnitSystem.US else "°C"

    def of(self, celsius: FloatArray) -> FloatArray:
        """Temperatures from °C."""
        if self.units is UnitSystem.METRIC:
            return celsius
        return celsius * self.of_difference(1.0) + convert(0.0, "degC", "degF")

    def of_difference(self, kelvin: float) -> float:
        """A difference of temperatures from K."""
        return convert(kelvin, "delta_degC", "delta_degF") if self.units is UnitSystem.US else kelvin

    def difference(self, kelvin: float) -> str:
        """A difference of temperatures to read."""
        return f"{self.of_difference(kelvin):.1f} {self.unit}"

    def span(self, low_c: float, high_c: float) -> str:
        """The least and the most, such as "17.0 to 21.5 °C"."""
        low, high = (format_temperature(celsius, self.units) for celsius in (low_c, high_c))
        return low if low == high else _("%(low)s to %(high)s") % {"low": low.rpartition(" ")[0], "high": high}


def label_hours(hours: float) -> str:
    """Hours of a label, such as "16 h" or "2.5 h"."""
    tenths = round(hours, 1)
    return _("%(hours)s h") % {"hours": number_format(tenths, 0 if tenths.is_integer() or tenths >= 100 else 1)}


def outlook_of(log: AirLog, zone: Zone | None, now: datetime, zone_info: tzinfo) -> tuple[Outlook, Projection]:
    """A zone's air with what is likely ahead of now: on its own recent day, or by its heating."""
    projection = Projection.recent(log, now, zone_info) if log.is_empty else projection_of(log, zone, zone_info)
    return Outlook.of(log, projection, since=now), projection


def air_lines(likely: AlongAir, warm: AlongAir, cold: AlongAir, degrees: Degrees) -> tuple[Series, Series, Series]:
    """Temperature, humidity and the margin above the dew point, the first with its band ahead.

    Parameters
    ----------
    likely, warm, cold : AlongAir
        At the same moments.
    degrees : Degrees
        The shop's units.
    """
    return (
        Series(
            name=_("Air"),
            unit=degrees.unit,
            seconds=likely.seconds,
            values=degrees.of(likely.air_c),
            known=likely.known,
            lower=degrees.of(cold.air_c),
            upper=degrees.of(warm.air_c),
        ),
        Series(name=_("Relative humidity"), unit="%", seconds=likely.seconds, values=likely.rh_pct, known=likely.known),
        Series(
            name=_("Surface over dew point"),
            unit=degrees.unit,
            seconds=likely.seconds,
            values=likely.margin_c * degrees.of_difference(1.0),
            known=likely.known,
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class DayOfAir:
    """A day of the air in words; ``refused`` tells the hours that kept a coat off, ``rain`` the weather outdoors."""

    on: date
    air: str
    humidity: str
    margin: str
    ahead: bool
    refused: str = ""
    rain: str = ""


def days_of(along: AlongAir, now: datetime, zone: tzinfo, degrees: Degrees) -> Iterator[DayOfAir]:
    """The least and the most of each local day."""
    for on, begin_s, end_s in local_days(float(along.seconds[0]), float(along.seconds[-1]), zone):
        inside = (along.seconds >= begin_s) & (along.seconds <= end_s)
        if not np.any(inside):
            continue
        rh_pct = along.rh_pct[inside]
        yield DayOfAir(
            on=on,
            air=degrees.span(float(along.air_c[inside].min()), float(along.air_c[inside].max())),
            humidity=_("%(low)s to %(high)s %%") % {"low": f"{rh_pct.min():.0f}", "high": f"{rh_pct.max():.0f}"},
            margin=degrees.difference(float(along.margin_c[inside].min())),
            ahead=begin_s > now.timestamp(),
        )


def local_days(start_s: float, end_s: float, zone: tzinfo) -> Iterator[tuple[date, float, float]]:
    """Each day of the zone's own calendar between two moments: the day, its midnight, and the next one."""
    on = datetime.fromtimestamp(start_s, zone).date()
    while midnight(on, zone).timestamp() < end_s:
        after = on + timedelta(days=1)
        yield on, midnight(on, zone).timestamp(), midnight(after, zone).timestamp()
        on = after


def midnight(on: date, zone: tzinfo) -> datetime:
    """The moment at which a day begins."""
    return datetime.combine(on, time(), zone)
