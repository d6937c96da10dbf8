"""Which column of a logger's file is which, by the words and units above them."""

import re
from dataclasses import dataclass
from datetime import tzinfo
from typing import Literal

from django.utils.translation import gettext as _

from shop.readings.stamps import fixed_zone
from shop.sheets.problems import CellProblem, SheetError

Field = Literal["at", "date", "time", "temp", "rh", "surface", "rain"]
Unit = Literal["c", "f"]
Depth = Literal["mm", "in"]
DELIMITERS = (",", ";", "\t")

_LOOKALIKES = str.maketrans({"℃": "c", "℉": "f", "°": " ", "º": " ", "˚": " ", "*": " ", "_": " ", "/": " "})
_WORD = re.compile(r"[a-z]+|%")
_ZONE = re.compile(r"\b(?:gmt|utc)(?:\s?[-+]\s?[0-9]{1,2}(?::?[0-9]{2})?)?", re.IGNORECASE)
_OTHERS = frozenset(
    {"dew", "dewpoint", "wet", "bulb", "max", "min", "absolute", "heat", "index", "pressure", "battery"}
)
_STAMP = frozenset({"datetime", "timestamp", "at", "when", "moment", "recorded"})
_TEMP = frozenset({"temp", "temperature", "tempc", "tempf"})
_RH = frozenset({"rh", "humidity", "hum"})
_RAIN = frozenset({"rain", "rainfall", "precipitation", "precip"})
_NOT_SINCE = frozenset(  # sums and rates, not the rain since the reading before
    {"rate", "total", "cumulative", "accumulated", "sum", "event", "h", "hr", "hour", "hourly", "daily", "day"}
    | {"weekly", "week", "monthly", "month", "yearly", "year"}
)
_INCHES = frozenset({"in", "inch", "inches"})
_UNITS: dict[str, Unit] = {
    **dict.fromkeys(("c", "celsius", "degc", "tempc"), "c"),
    **dict.fromkeys(("f", "fahrenheit", "degf", "tempf"), "f"),
}
_TEMP_ALONE = frozenset({"air", "t", *_UNITS})  # words that mean the temperature where no other stands beside them


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column that is read: what it holds, what the file calls it, and the units that stand above it."""

    field: Field
    title: str
    unit: Unit | None = None
    depth: Depth = "mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """The columns of a file, None for those that are left aside."""

    titles: tuple[str, ...]
    columns: tuple[Column | None, ...]
    zone: tzinfo | None

    @property
    def fields(self) -> dict[Field, int]:
        """Where each field stands."""
        return {column.field: place for place, column in enumerate(self.columns) if column is not None}

    @property
    def unknown(self) -> tuple[str, ...]:
        """Titles of the columns that are left aside."""
        return tuple(t for t, column in zip(self.titles, self.columns, strict=True) if column is None and t)

    @property
    def missing(self) -> tuple[str, ...]:
        """What a file of readings must have, and these titles do not; a rain gauge's own has neither of the two."""
        fields = self.fields
        has = {"moment": "at" in fields or {"date", "time"} <= fields.keys()}
        if not self.rain_alone:
            has |= {"temperature": "temp" in fields, "humidity": "rh" in fields}
        return tuple(name for name, there in has.items() if not there)

    @property
    def rain_alone(self) -> bool:
        """Whether rain is all that is read."""
        return "rain" in self.fields and not {"temp", "rh"} & self.fields.keys()


def columns_of(titles: tuple[str, ...]) -> Columns:
    """Name the columns under these titles; of date and time apart, both are needed."""
    columns = [_column(title) for title in titles]
    held = [column.field for column in columns if column is not None]
    if "at" in held:
        columns = [None if column and column.field in ("date", "time") else column for column in columns]
    elif sorted({"date", "time"} & set(held)) in (["date"], ["time"]):  # one of them alone holds both
        columns = [_as_moment(column) for column in columns]
    if "rain" in held and not {"temp", "rh"} <= set(held):  # a gauge that feels the warmth, say
        columns = [None if column and column.field in ("temp", "rh", "surface") else column for column in columns]
    stamped = [column.title for column in columns if column and column.field in ("at", "date", "time")]
    zones = [match[0] for title in stamped if (match := _ZONE.search(title))]
    return Columns(titles=titles, columns=tuple(columns), zone=_zone(zones[0]) if zones else None)


def check_columns(columns: Columns) -> None:
    """Refuse titles under which no reading can be found.

    Raises
    ------
    SheetError
        A column is missing, or two say the same.
    """
    if columns.missing:
        raise SheetError(
            _("No line of the beginning names columns for: %(missing)s.") % {"missing": ", ".join(columns.missing)}
        )
    titles_of: dict[str, list[str]] = {}
    for column in filter(None, columns.columns):
        titles_of.setdefault(column.field, []).append(column.title)
    for titles in titles_of.values():
        if len(titles) > 1:
            words = _("More than one column holds the same: %(titles)s. Keep one of them.")
            raise SheetError(words % {"titles": ", ".join(titles)})


def _zone(text: str) -> tzinfo:
    try:
        return fixed_zone(text)
    except CellProblem as problem:
        raise SheetError(str(problem)) from None


def _as_moment(column: Column | None) -> Column | None:
    if column is None or column.field not in ("date", "time"):
        return column
    return Column(field="at", title=column.title)


def _column(title: str) -> Column | None:
    words = _WORD.findall(_ZONE.sub(" ", title).translate(_LOOKALIKES).casefold())
    field = _field(frozenset(words))
    if field is None:
        return None
    units = {_UNITS[word] for word in words if word in _UNITS}
    unit = units.pop() if len(units) == 1 and field in ("temp", "surface") else None
    return Column(field=field, title=title, unit=unit, depth="in" if _INCHES & set(words) else "mm")


def _field(words: frozenset[str]) -> Field | None:
    if words & _OTHERS:
        return None
    if words & _STAMP or {"date", "time"} <= words:
        return "at"
    if "surface" in words:
        return "surface"
    if words & _RAIN:
        return None if words & _NOT_SINCE else "rain"
    if words & _RH:
        return "rh"
    if words & _TEMP or (words & {"air", "t"} and words <= _TEMP_ALONE):
        return "temp"
    return "date" if "date" in words else ("time" if "time" in words else None)
