"""Dates, by ISO 8601's calendar date and the Gregorian leap rule (1900 has no 29 February, 2000 has)."""

from datetime import date

import pytest

from shop.sheets.dates import DateOrder, read_date
from shop.sheets.problems import CellProblem


@pytest.mark.parametrize("order", [None, *DateOrder])
def test_an_iso_date_is_read_whatever_the_order(order: DateOrder | None) -> None:
    assert read_date("2026-05-03", order) == date(2026, 5, 3)


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("3.5.2026", DateOrder.DMY),
        ("03.05.2026", DateOrder.DMY),
        ("3. 5. 2026", DateOrder.DMY),
        ("03/05/2026", DateOrder.DMY),
        ("03-05-2026", DateOrder.DMY),
        ("5/3/2026", DateOrder.MDY),
        ("05-03-2026", DateOrder.MDY),
        ("2026/5/3", DateOrder.YMD),
        ("2026.05.03", DateOrder.YMD),
    ],
)
def test_other_dates_are_read_in_the_named_order(text: str, order: DateOrder) -> None:
    assert read_date(text, order) == date(2026, 5, 3)


def test_the_leap_day_is_read_where_the_calendar_has_it() -> None:
    assert read_date("29.02.2000", DateOrder.DMY) == date(2000, 2, 29)
    with pytest.raises(CellProblem, match="not a day of the calendar"):
        read_date("2100-02-29", None)


@pytest.mark.parametrize(
    ("text", "order", "reason"),
    [
        ("03/05/2026", None, "more than one way"),
        ("03/05/26", DateOrder.DMY, "no year of four digits"),
        ("26-05-03", DateOrder.YMD, "no year of four digits"),
        ("2026/05/03", DateOrder.DMY, "its year where the order dmy puts it"),
        ("31/12/2026", DateOrder.MDY, "not a day of the calendar"),
        ("2026-13-01", None, "not a day of the calendar"),
        ("0026-05-03", None, "a year that cannot be meant"),
        ("1949-12-31", None, "a year that cannot be meant"),
        ("2101-01-01", None, "a year that cannot be meant"),
        ("3.5/2026", DateOrder.DMY, "not a date"),
        ("20260503", None, "not a date"),
        ("2026-W18-7", None, "not a date"),
        ("46145", DateOrder.DMY, "not a date"),
        ("soon", None, "not a date"),
        ("٢٠٢٦-٠٥-٠٣", None, "not a date"),
    ],
)
def test_what_is_no_date_or_two_is_refused(text: str, order: DateOrder | None, reason: str) -> None:
    with pytest.raises(CellProblem, match=reason):
        read_date(text, order)
