"""What pages say of moments, hours and findings."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.template import Context, Template
from django.utils import timezone
from django.utils.translation import override

from shop.units import UnitSystem
from shop.units.here import units_here
from stages import saying
from stages.engine.findings import Degrees, Words, say

NOON = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)  # a Wednesday


@pytest.mark.parametrize(
    ("at", "words"),
    [
        (datetime(2026, 6, 10, 16, 30, tzinfo=UTC), "today 16:30"),
        (datetime(2026, 6, 10, 0, 0, tzinfo=UTC), "today 00:00"),
        (datetime(2026, 6, 11, 14, 10, tzinfo=UTC), "Thu 14:10"),
        (datetime(2026, 6, 16, 14, 10, tzinfo=UTC), "Tue 14:10"),
        (datetime(2026, 6, 17, 14, 10, tzinfo=UTC), "17 June"),
        (datetime(2027, 4, 6, 14, 10, tzinfo=UTC), "6 April"),
        (datetime(2027, 4, 7, 14, 10, tzinfo=UTC), "7 April 2027"),
        (datetime(2026, 6, 9, 23, 59, tzinfo=UTC), "yesterday 23:59"),
        (datetime(2026, 6, 8, 9, 5, tzinfo=UTC), "8 June, 09:05"),
    ],
)
def test_a_moment_is_said_in_few_words(at: datetime, words: str) -> None:
    assert saying.when(at, NOON) == words


def test_a_moment_is_told_by_the_clock_of_the_active_zone() -> None:
    at = datetime(2026, 6, 10, 23, 30, tzinfo=UTC)
    with timezone.override(ZoneInfo("Europe/Helsinki")):
        assert saying.when(at, NOON) == "Thu 02:30"


@pytest.mark.parametrize(
    ("on", "words"),
    [
        (date(2026, 6, 10), "today"),
        (date(2026, 6, 11), "tomorrow"),
        (date(2026, 6, 12), "12 June"),
        (date(2026, 6, 9), "9 June"),
        (date(2027, 2, 3), "3 February"),
        (date(2027, 6, 9), "9 June 2027"),
        (date(2025, 6, 9), "9 June 2025"),
    ],
)
def test_a_day_is_said_in_few_words(on: date, words: str) -> None:
    assert saying.day(on, NOON.date()) == words


@pytest.mark.parametrize(
    ("promised", "words"),
    [
        (None, ""),
        (date(2026, 6, 11), ""),
        (date(2026, 6, 10), ""),
        (date(2026, 6, 9), "1 day late"),
        (date(2026, 5, 1), "40 days late"),
    ],
)
def test_a_promise_is_late_once_its_day_is_over(promised: date | None, words: str) -> None:
    assert saying.late(promised, NOON.date()) == words


@pytest.mark.parametrize(
    ("amount_h", "words"),
    [(3.0, "3 h"), (1.5, "1.5 h"), (5.37, "5.5 h"), (0.1, "0.5 h"), (0.0, "0.5 h"), (120.2, "120 h")],
)
def test_hours_are_said_to_the_half_hour(amount_h: float, words: str) -> None:
    assert saying.hours(amount_h) == words


def test_a_sentence_within_a_sentence_is_filled_too() -> None:
    inner = say("be %(what)s", what="sanded")
    assert saying.said(say("The %(product)s is not dry enough to %(step)s.", product="primer", step=inner)) == (
        "The primer is not dry enough to be sanded."
    )


def test_sentences_are_looked_up_in_the_catalogue_of_the_reader() -> None:
    with override("de"):  # Django's own catalogue knows this one
        assert saying.said(say("Monday")) == "Montag"


def test_the_filters_say_the_same_as_the_functions() -> None:
    page = Template("{% load words %}{{ words|said }}|{{ at|when }}|{{ work|hours }}|{{ none|when }}{{ none|said }}")
    at = timezone.now() - timedelta(days=400)
    shown = page.render(Context({"words": say("50 %% of %(n)s", n=2), "at": at, "work": 1.5, "none": None}))
    assert shown == f"50 % of 2|{saying.when(at, timezone.now())}|1.5 h|"


def test_a_moment_in_a_sentence_is_said_by_the_shops_clock() -> None:
    at = timezone.now() - timedelta(days=1)
    words = Words(text="Last read: %(at)s.", values={"at": at})
    with timezone.override("America/Toronto"):
        assert saying.said(words) == f"Last read: {saying.when(at, timezone.now())}."
        assert "yesterday" in saying.said(words)


@pytest.mark.parametrize(
    ("units", "shown"), [(UnitSystem.METRIC, "12.0 °C, 3.0 °C over"), (UnitSystem.US, "54 °F, 5.4 °F over")]
)
def test_degrees_in_a_sentence_are_the_shops(units: UnitSystem, shown: str) -> None:
    words = Words(
        text="%(air)s, %(margin)s over",
        values={"air": Degrees(celsius=12.0), "margin": Degrees(celsius=3.0, apart=True)},
    )
    token = units_here.set(units)
    try:
        assert saying.said(words) == shown
    finally:
        units_here.reset(token)
