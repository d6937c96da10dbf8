"""A hull's dates, as its pages tell them."""

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone, translation
from pytest_django import DjangoAssertNumQueries

from stages.models import HullDates
from stages.planner.explain import Cause
from stages.queries.dates import HullDatesShown, NoDate, dates_of, newest_dates
from stages.queries.planning.why import TO_OWNERS
from tests.factories import a_hull, a_shop

pytestmark = pytest.mark.django_db

NOW = timezone.now()


def told(hull: int, days_ago: float, likely: date, why: str = "") -> HullDates:
    """A row as a forecast writes it."""
    return HullDates.objects.create(
        hull_id=hull,
        made_at=NOW - timedelta(days=days_ago),
        early_on=likely - timedelta(days=3),
        likely_on=likely,
        late_on=likely + timedelta(days=9),
        suggested_on=likely + timedelta(days=5),
        why=[{"text": "It waits for %(what)s.", "values": {"what": why}}] if why else [],
    )


def test_a_hull_without_a_forecast_has_no_dates() -> None:
    a_shop()
    assert dates_of(a_hull().pk) is None


def test_the_newest_row_holds_and_tells_how_it_moved_in_a_week() -> None:
    a_shop()
    hull = a_hull().pk
    told(hull, 30, date(2026, 5, 1), "canvas")
    told(hull, 8, date(2026, 5, 4), "the filler")
    told(hull, 2, date(2026, 5, 6), "a dry day")
    told(hull, 0, date(2026, 5, 11), "the bench")
    shown = dates_of(hull)
    assert isinstance(shown, HullDatesShown)
    assert shown.likely == date(2026, 5, 11)
    assert shown.since is not None
    assert shown.since.likely_on == date(2026, 5, 4)
    assert shown.moved_days == 7
    assert shown.why == ("It waits for the bench.", "It waits for a dry day.")


def test_a_hull_that_is_young_to_the_forecast_is_held_against_its_first_row() -> None:
    a_shop()
    hull = a_hull().pk
    told(hull, 3, date(2026, 5, 9))
    told(hull, 1, date(2026, 5, 7))
    shown = dates_of(hull)
    assert isinstance(shown, HullDatesShown)
    assert shown.moved_days == -2


def test_a_hull_without_a_date_says_since_when_and_why_and_its_next_day_is_held_against_the_last_one() -> None:
    a_shop()
    hull = a_hull().pk
    told(hull, 9, date(2026, 5, 4))
    why = [{"text": "Nobody can do “%(skill)s”.", "values": {"skill": "canvas"}}]
    row = HullDates.objects.create(hull_id=hull, made_at=NOW - timedelta(days=8), no_date=why)
    assert dates_of(hull) == NoDate(since=row.made_at, why="Nobody can do “canvas”.")
    told(hull, 0, date(2026, 5, 11))
    shown = dates_of(hull)
    assert isinstance(shown, HullDatesShown)
    assert (shown.likely, shown.moved_days) == (date(2026, 5, 11), 7)


@pytest.mark.parametrize("name", ["early_on", "likely_on", "late_on", "suggested_on"])
def test_a_row_has_all_its_days_or_none(name: str) -> None:
    a_shop()
    row = told(a_hull().pk, 0, date(2026, 5, 4))
    with pytest.raises(IntegrityError), transaction.atomic():
        HullDates.objects.filter(pk=row.pk).update(**{name: None})


def test_the_newest_rows_of_many_hulls_take_one_query(django_assert_num_queries: DjangoAssertNumQueries) -> None:
    a_shop()
    hulls = [a_hull(f"H-{n}").pk for n in range(3)]
    for hull in hulls[:2]:
        told(hull, 1, date(2026, 5, 1))
        told(hull, 0, date(2026, 5, 2))
    with django_assert_num_queries(1):
        found = newest_dates(hulls)
    assert {pk: row.likely_on for pk, row in found.items()} == dict.fromkeys(hulls[:2], date(2026, 5, 2))


@pytest.mark.parametrize(
    ("step", "called"),
    [
        ("Stretch and tack the canvas", "Tendre et clouer la toile"),
        ("Enamel, coat 2 of 3", "Laque, couche 2 sur 3"),
        ("Polish the brass", "Polish the brass"),
    ],
)
def test_why_is_said_in_the_reader_s_language_with_its_step_and_its_day(step: str, called: str) -> None:
    a_shop()
    hull = a_hull()
    text = TO_OWNERS[Cause.WEATHER]
    row = told(hull.pk, 1, date(2031, 6, 12))
    HullDates.objects.filter(pk=row.pk).update(
        why=[{"text": text, "values": {"step": step, "until": "Thu 2031-06-05"}}]
    )
    with translation.override("fr"):
        shown = dates_of(hull.pk)
    assert isinstance(shown, HullDatesShown)
    said = shown.why[0].replace("\N{NO-BREAK SPACE}", " ")
    assert said == f"« {called} » attend un temps sec jusqu’au jeudi 5 juin."
