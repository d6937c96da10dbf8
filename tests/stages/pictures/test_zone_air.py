"""The picture of a zone's air: strips one under the other, refused hours across all of them, days at the foot."""

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from stages.pictures.strips import Series
from stages.pictures.timeline import Timeline
from stages.pictures.zone_air import AirCourse, Weather, draw_zone_air
from tests.stages.pictures.drawn import points, share

START = datetime(2026, 6, 6, tzinfo=UTC)
START_S, DAY = START.timestamp(), 86_400.0
DAYS = 9


def a_course(**more: Any) -> AirCourse:
    seconds = START_S + np.arange(0.0, DAYS * DAY + 1.0, 3600.0)
    known = seconds[1:] <= START_S + 5.5 * DAY
    rounds = np.sin((seconds - START_S) / DAY * 2 * np.pi)
    series = tuple(
        Series(name=name, unit=unit, seconds=seconds, values=mean + swing * rounds, known=known)
        for name, unit, mean, swing in (
            ("Air", "°C", 15.0, 4.0),
            ("Humidity", "%", 60.0, 20.0),
            ("Margin", "°C", 6.0, 4.0),
        )
    )
    values: dict[str, Any] = {
        "timeline": Timeline(START_S, START_S + DAYS * DAY),
        "now_s": START_S + 5.5 * DAY,
        "zone": UTC,
        "series": series,
    }
    return AirCourse(**(values | more))


def test_the_strips_lie_one_under_the_other() -> None:
    picture = draw_zone_air(a_course())
    tops = [strip.top for strip in picture.strips]
    assert [strip.name for strip in picture.strips] == ["Air", "Humidity", "Margin"]
    assert all(strip.bottom < top for strip, top in zip(picture.strips, tops[1:], strict=False))
    assert picture.top == tops[0]
    assert picture.top + picture.tall == picture.strips[-1].bottom == picture.foot < picture.height


def test_what_was_read_ends_now_and_the_rest_is_expected() -> None:
    picture = draw_zone_air(a_course())
    for strip in picture.strips:
        assert points(strip.known)[-1] == points(strip.assumed)[0]
        assert points(strip.known)[-1][0] == pytest.approx(1600 * share(picture.now), abs=12)


def test_refused_hours_are_shaded_where_they_are() -> None:
    spans = ((START_S, START_S + 0.9 * DAY), (START_S + 4.5 * DAY, START_S + 9 * DAY))
    found = draw_zone_air(a_course(refused=spans)).refused
    assert [(span.x, span.width) for span in found] == [("0%", "10%"), ("50%", "50%")]


def test_days_of_the_yard_stand_under_the_strips() -> None:
    days = tuple(
        Weather(start_s=START_S + n * DAY, end_s=START_S + (n + 1) * DAY, dry=dry)
        for n, dry in enumerate((True, False, None))
    )
    plain, picture = draw_zone_air(a_course()), draw_zone_air(a_course(days=days))
    assert [day.dry for day in picture.days] == [True, False, None]
    assert share(picture.days[1].x) == pytest.approx(1 / 9, abs=1e-4)
    assert share(picture.days[1].middle) == pytest.approx(1.5 / 9, abs=1e-4)
    assert picture.strips[-1].bottom < picture.days_y < picture.foot
    assert picture.height > plain.height


def test_every_day_begins_with_a_mark() -> None:
    ticks = draw_zone_air(a_course()).ticks
    assert [tick.at for tick in ticks] == [START + timedelta(days=n) for n in range(1, DAYS)]


def test_now_is_marked_only_while_it_is_in_the_picture() -> None:
    assert draw_zone_air(a_course(now_s=START_S + 10 * DAY)).now == ""
