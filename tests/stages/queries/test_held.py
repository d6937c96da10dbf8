"""The pages that a phone holds: those of the day, in a fixed number of queries."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.models import Pulse
from stages.queries.held import MOST_SHEETS, Held, pages_of_the_day
from stages.services import bench, notes
from tests.factories import a_hull, a_shop, hand

pytestmark = pytest.mark.django_db


def held() -> list[Held]:
    return pages_of_the_day(pulse=Pulse.now(), now=timezone.now())


def test_they_are_the_lists_and_the_sheets_with_begun_work_first() -> None:
    a_shop()
    for tag in ("H-1", "H-2", "H-3"):
        hull = a_hull(tag, arrived=timezone.now() - timedelta(days=2))
    bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand())
    assert [page.path for page in held()] == ["/", "/next/", "/waiting/", "/hulls/H-3/", "/hulls/H-1/", "/hulls/H-2/"]


def test_a_sheets_stamp_changes_with_its_log_alone() -> None:
    a_shop()
    hulls = [a_hull(tag, arrived=timezone.now() - timedelta(days=2)) for tag in ("H-1", "H-2")]
    before = {page.path: page.stamp for page in held()}
    notes.write_note(hull_id=hulls[0].pk, text="The bow is soft.", hand=hand())
    after = {page.path: page.stamp for page in held()}
    assert {path for path in before if before[path] != after[path]} == {"/", "/next/", "/hulls/H-1/"}


def test_no_sheet_is_missing_in_a_shop_of_sixty_hulls() -> None:
    a_shop()
    tags = {f"H-{n}" for n in range(60)}
    for tag in tags:
        a_hull(tag)
    assert {f"/hulls/{tag}/" for tag in tags} <= {page.path for page in held()}


def test_a_phone_is_not_asked_to_hold_more_than_it_can() -> None:
    a_shop()
    for n in range(MOST_SHEETS + 1):
        a_hull(f"H-{n}")
    assert sum(page.path.startswith("/hulls/") for page in held()) == MOST_SHEETS


def test_they_take_as_many_queries_for_two_hulls_as_for_eight() -> None:
    a_shop()
    counts = []
    for size in (2, 8):
        for n in range(size):
            a_hull(f"H-{size}-{n}")
        held()  # what is kept between requests is read
        with CaptureQueriesContext(connection) as asked:
            held()
        counts.append(len(asked))
    assert counts[0] == counts[1]
