"""When a boat is most likely ready, in its owner's words."""

from dataclasses import dataclass
from datetime import date

import pytest
from django.utils import translation

from stages.owner.ready import ready

TODAY = date(2031, 6, 2)


@dataclass(frozen=True)
class Told:
    """What a forecast tells."""

    early: date = date(2031, 6, 12)
    late: date = date(2031, 6, 20)
    moved_days: int = 0
    why: tuple[str, ...] = ()


@pytest.mark.parametrize(
    ("early", "late", "says"),
    [
        (date(2031, 6, 12), date(2031, 6, 20), "between 12 and 20 June"),
        (date(2031, 6, 28), date(2031, 7, 3), "between 28 June and 3 July"),
        (date(2031, 12, 28), date(2032, 1, 3), "between 28 December and 3 January 2032"),
        (date(2031, 6, 12), date(2031, 6, 12), "on 12 June"),
        (date(2031, 5, 20), date(2031, 6, 8), "between 2 and 8 June"),  # it has begun: today at the earliest
        (date(2031, 5, 20), date(2031, 5, 28), "on 2 June"),
    ],
)
def test_a_span_of_days_is_said_as_people_say_it(early: date, late: date, says: str) -> None:
    assert ready(Told(early=early, late=late), TODAY).span == says


@pytest.mark.parametrize(
    ("days", "says"),
    [
        (0, "as last week"),
        (1, "1 day later than last week"),
        (2, "2 days later than last week"),
        (-1, "1 day sooner than last week"),
        (-3, "3 days sooner than last week"),
    ],
)
def test_how_it_moved_is_told_in_days(days: int, says: str) -> None:
    assert ready(Told(moved_days=days), TODAY).changed == says


def test_the_newest_reason_alone_is_told() -> None:
    told = Told(moved_days=2, why=("The canvas waited for dry weather.", "A rib more."))
    assert ready(told, TODAY).why == "The canvas waited for dry weather."
    assert ready(Told(), TODAY).why == ""


def test_it_is_said_in_french_too() -> None:
    with translation.override("fr"):
        said = ready(Told(moved_days=2), TODAY)
    assert (said.span, said.changed) == ("entre le 12 et le 20 juin", "2 jours plus tard que la semaine dernière")
