"""The picture of a coat's age: its curve read back from the path data, its marks where they belong."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stages.engine.errors import EngineError
from stages.pictures.age_curve import HEAD, LINE, PLOT, TOP, AgeCourse, AgePicture, Goal, draw_age_curve, spread
from stages.pictures.strips import FINE, Series
from stages.pictures.timeline import WIDTH, Timeline
from tests.stages.pictures.drawn import points, share

ON = datetime(2026, 6, 10, 8, tzinfo=UTC)


def at(hours: float) -> datetime:
    return ON + timedelta(hours=hours)


def a_course(*, now_h: float = 8.0, end_h: float = 40.0, speed: float = 0.5, **more: Any) -> AgeCourse:
    """A coat that ages steadily; early and late a fifth faster and slower from now on."""
    hours = np.union1d(np.linspace(0.0, end_h, 81), [now_h] if now_h <= end_h else [])
    ahead = np.maximum(hours - now_h, 0.0)
    seconds = ON.timestamp() + 3600.0 * hours
    series = Series(
        name="Air", unit="°C", seconds=seconds, values=20.0 + np.sin(hours), known=np.ones(len(hours) - 1, dtype=bool)
    )
    goals = (goal("tack-free", 2.0, now_h, speed), goal("dry to sand", 16.0, now_h, speed))
    values: dict[str, Any] = {
        "timeline": Timeline(at(0).timestamp(), at(end_h).timestamp()),
        "now_s": at(now_h).timestamp(),
        "zone": UTC,
        "seconds": seconds,
        "likely_h": speed * hours,
        "early_h": speed * (hours + 0.2 * ahead),
        "late_h": speed * (hours - 0.2 * ahead),
        "goals": goals,
        "air": series,
        "humidity": series,
    }
    return AgeCourse(**(values | more))


def goal(name: str, needed_h: float, now_h: float, speed: float) -> Goal:
    hours = needed_h / speed
    ahead = max(0.0, hours - now_h)
    return Goal(name=name, needed_h=needed_h, likely=at(hours), early=at(hours - ahead / 6), late=at(hours + ahead / 4))


def height_of(picture: AgePicture, y: int) -> float:
    """The height of a mark in units of path data."""
    return FINE * (y - picture.top)


@given(st.floats(0.5, 39.0), st.floats(0.42, 1.5))
def test_every_goal_is_marked_where_the_curve_crosses_its_line(now_h: float, speed: float) -> None:
    picture = draw_age_curve(a_course(now_h=now_h, speed=speed))
    curve = [*(points(picture.line) if picture.line else []), *points(picture.ahead)]
    for mark in picture.goals:
        x = WIDTH * share(mark.x)
        height = np.interp(x, [a for a, _b in curve], [b for _a, b in curve])
        assert height == pytest.approx(height_of(picture, mark.y), abs=FINE + 2)
        assert mark.reached == (mark.goal.likely <= at(now_h))  # type: ignore[operator]


def test_the_past_is_a_line_with_what_is_behind_it_filled_and_the_rest_lies_ahead() -> None:
    picture = draw_age_curve(a_course())
    line, ahead = points(picture.line), points(picture.ahead)
    assert line[-1] == ahead[0]
    assert line[-1][0] == pytest.approx(WIDTH * share(picture.now), abs=1)
    assert points(picture.under)[: len(line)] == line
    assert points(picture.under)[-1][1] == FINE * PLOT
    assert points(picture.band)[0] == ahead[0]


@given(st.floats(0.5, 39.0), st.floats(0.42, 1.5))
def test_a_coat_never_gets_younger(now_h: float, speed: float) -> None:
    picture = draw_age_curve(a_course(now_h=now_h, speed=speed))
    for data in filter(None, (picture.line, picture.ahead)):
        assert all(b[0] >= a[0] and b[1] <= a[1] for a, b in pairwise(points(data)))


def test_the_band_of_a_goal_runs_from_early_to_late_until_it_is_reached() -> None:
    course = a_course()
    tack_free, sand = draw_age_curve(course).goals
    assert (tack_free.band_x, tack_free.reached) == ("", True)
    assert share(sand.band_x) < share(sand.x) < share(sand.band_x) + share(sand.band_width)
    assert not sand.reached


def test_a_goal_that_cold_nights_may_keep_off_is_open_to_the_edge() -> None:
    open_goal = Goal(name="dry to sand", needed_h=16.0, likely=at(32), early=at(28), late=None)
    (mark,) = draw_age_curve(a_course(goals=(open_goal,))).goals
    assert share(mark.band_x) + share(mark.band_width) == pytest.approx(1.0, abs=1e-3)


def test_a_goal_that_is_never_reached_has_words_and_no_mark() -> None:
    never = Goal(name="dry to sand", needed_h=16.0, likely=None)
    (mark,) = draw_age_curve(a_course(goals=(never,), speed=0.01)).goals
    assert (mark.x, mark.band_x, mark.reached) == ("", "", False)
    assert mark.on_the_left


@given(st.lists(st.floats(0.5, 60.0), min_size=1, max_size=5, unique=True))
def test_words_of_goals_that_lie_close_stand_apart(needed: list[float]) -> None:
    goals = tuple(goal(f"{hours} h", hours, 8.0, 1.5) for hours in sorted(needed))
    picture = draw_age_curve(a_course(goals=goals))
    for side in (True, False):
        lines = [mark.words_y for mark in picture.goals if mark.on_the_left is side]
        assert all(a - b >= 14 for a, b in pairwise(lines))  # as high as the words
    assert all(12 <= mark.words_y <= picture.bottom for mark in picture.goals)


def test_now_is_marked_only_while_it_is_in_the_picture() -> None:
    assert draw_age_curve(a_course(now_h=40.0)).now == "100%"
    past = draw_age_curve(a_course(now_h=90.0))
    assert (past.now, past.ahead) == ("", "")
    assert past.line


@pytest.mark.parametrize(("closes_h", "seen"), [(39.0, True), (41.0, False), (None, False)])
def test_the_recoat_window_is_marked_where_it_closes(closes_h: float | None, seen: bool) -> None:
    picture = draw_age_curve(a_course(closes=None if closes_h is None else at(closes_h)))
    assert bool(picture.closes) is seen


def test_a_room_kept_otherwise_has_a_line_of_its_own_from_now_on() -> None:
    course = a_course()
    picture = draw_age_curve(a_course(what_if_h=course.likely_h * 2.0))
    assert points(picture.what_if)[0][0] == points(picture.ahead)[0][0]
    assert not draw_age_curve(course).what_if


def test_time_stands_still_where_it_is_too_cold() -> None:
    (still,) = draw_age_curve(a_course(still=((at(10).timestamp(), at(20).timestamp()),))).still
    assert (still.x, still.width) == ("25%", "25%")


def test_the_strips_lie_under_the_curve_and_the_words_under_them() -> None:
    picture = draw_age_curve(a_course())
    air, humidity = picture.strips
    assert HEAD < picture.bottom < air.top < air.bottom < humidity.top < humidity.bottom == picture.foot
    assert picture.foot < picture.height


def test_a_picture_is_small() -> None:
    picture = draw_age_curve(a_course())
    data = (picture.under, picture.line, picture.ahead, picture.band, *(strip.known for strip in picture.strips))
    assert sum(map(len, data)) < 6000


@given(st.lists(st.integers(5, 240), min_size=1, max_size=8))
def test_lines_of_words_stay_where_they_are_wanted_where_there_is_room(wanted: list[int]) -> None:
    lines = sorted(wanted, reverse=True)
    placed = spread(lines)
    assert all(a - b >= LINE for a, b in pairwise(placed))
    assert placed[-1] >= TOP
    if all(a - b >= LINE for a, b in pairwise(lines)) and lines[-1] >= TOP:
        assert placed == lines


@pytest.mark.parametrize("wrong", [{"goals": ()}, {"likely_h": np.zeros(3)}])
def test_a_course_that_does_not_fit_together_is_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(EngineError):
        a_course(**wrong)
