import pytest

from shop.readings.columns import Unit, check_columns, columns_of
from shop.readings.stamps import fixed_zone
from shop.sheets.problems import SheetError


@pytest.mark.parametrize(
    ("titles", "fields"),
    [
        (("at", "temp_c", "rh_pct"), ["at", "temp", "rh"]),
        (("Date", "Time", "Temperature (°C)", "Humidity (%)"), ["date", "time", "temp", "rh"]),
        (("Date/Time", "Temp, °F", "RH, %"), ["at", "temp", "rh"]),
        (("#", "Date Time, GMT-05:00", "Temp, °F", "RH, %", "Dew point, °F"), [None, "at", "temp", "rh", None]),
        (("Timestamp", "Temperature_Fahrenheit", "Relative_Humidity"), ["at", "temp", "rh"]),
        (("Time", "T [°C]", "rF", "RH [%]"), ["at", "temp", None, "rh"]),
        (("Date", "Air °C", "Air humidity %", "Surface °C"), ["at", "temp", "rh", "surface"]),
        (("Date and time", "Date", "Time", "Temp", "Hum"), ["at", None, None, "temp", "rh"]),
        (("at", "Temp °C", "RH %", "Rain mm"), ["at", "temp", "rh", "rain"]),
        (("Time", "Precipitation [mm]"), ["at", "rain"]),
        (("Time", "Rain mm", "Rain rate mm/h", "Daily rain", "Rain total"), ["at", "rain", None, None, None]),
        (
            ("When", "Temp", "RH", "Battery temp", "Max temp", "Absolute humidity"),
            ["at", "temp", "rh", None, None, None],
        ),
    ],
)
def test_columns_are_known_by_the_words_above_them(titles: tuple[str, ...], fields: list[str | None]) -> None:
    columns = columns_of(titles)
    check_columns(columns)
    assert [column.field if column else None for column in columns.columns] == fields
    assert columns.unknown == tuple(t for t, field in zip(titles, fields, strict=True) if field is None)


@pytest.mark.parametrize(
    ("title", "unit"),
    [
        ("temp_c", "c"),
        ("temp_f", "f"),
        ("TempF", "f"),
        ("Temperature(℃)", "c"),
        ("Temp (º F)", "f"),
        ("Temp, *C", "c"),
        ("Temperature [degF]", "f"),
        ("Temperature in Celsius", "c"),
        ("Temperature", None),
        ("Temp °C or °F", None),
    ],
)
def test_the_unit_is_read_from_the_title(title: str, unit: Unit | None) -> None:
    column = columns_of(("at", title, "rh")).columns[1]
    assert column is not None
    assert column.unit == unit


@pytest.mark.parametrize(
    ("title", "zone"),
    [("Date Time, GMT-05:00", "-05:00"), ("time (UTC)", "UTC"), ("at GMT+0530", "+05:30"), ("Date Time", None)],
)
def test_a_zone_above_the_stamps_is_read(title: str, zone: str | None) -> None:
    columns = columns_of((title, "temp_c", "rh"))
    assert columns.fields["at"] == 0
    assert columns.zone == (fixed_zone(zone) if zone else None)


@pytest.mark.parametrize(
    ("titles", "words"),
    [
        ((), "moment, temperature, humidity"),
        (("a", "b"), "moment, temperature, humidity"),
        (("at", "temp_c"), "humidity"),
        (("temp_c", "rh"), "moment"),
        (("at", "Indoor temp", "Outdoor temp", "rh"), "Indoor temp, Outdoor temp"),
    ],
)
def test_titles_without_a_reading_or_with_two_are_refused(titles: tuple[str, ...], words: str) -> None:
    with pytest.raises(SheetError, match=words):
        check_columns(columns_of(titles))


def test_a_zone_that_no_clock_has_is_refused() -> None:
    with pytest.raises(SheetError, match="further from UTC"):
        columns_of(("Date Time GMT+25", "temp", "rh"))
