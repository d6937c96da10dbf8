"""Outdoors. Common practice, no published source: four to seven rain-free days, five unless the shop says otherwise."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from stages.engine.findings import Ask
from stages.engine.state import Coat
from stages.engine.vocab import Action, ProductKind, Surface
from stages.engine.work import Work
from tests.stages.engine.trade import (
    INDOORS,
    NOW,
    YARD,
    a_coat,
    a_route,
    a_stage,
    a_stay,
    a_work,
    a_world,
    asking_to_coat,
    asking_to_finish,
    asking_to_move,
    dry_days,
    product,
    refusals,
    the_products,
)

CANVAS = a_coat("canvas")
TREATED = a_coat("preservative", hours_ago=7 * 24, zone=YARD, of="preserve")
PRESERVE = a_stage("preserve", coats=1, product=ProductKind.PRESERVATIVE, surface=Surface.SKIN)


def airing(*days_ago: int, coat: Coat = TREATED) -> Work:
    """A treated hull in the yard, with these days on record as dry."""
    world = a_world(dry=dry_days(*days_ago))
    return a_work(coats=[CANVAS, coat], at="yard", world=world, route=a_route(PRESERVE), started=["preserve"])


@pytest.mark.parametrize(
    ("days_ago", "refused"),
    [
        ((6, 5, 4, 3), True),  # four
        ((6, 5, 4, 3, 2), False),  # five
        ((6, 5, 4, 3, 2, 1), False),  # six
        ((6, 4, 2, 1, 0), False),  # five, with rain between, today counted
        ((7, 6, 5, 4, 3), True),  # the day on which it went on does not count
        ((6, 5, 4, 3, -1), True),  # nor does tomorrow
        ((20, 19, 18, 17, 16), True),  # nor do the days before
    ],
)
def test_it_comes_in_after_five_days_without_rain(days_ago: tuple[int, ...], refused: bool) -> None:
    found = refusals(airing(*days_ago), asking_to_move("filler"))
    assert set(found) == ({"outdoors"} if refused else set())


def test_rainy_days_do_not_count_and_the_earliest_day_says_how_many_are_missing() -> None:
    found = refusals(airing(6, 5), asking_to_move("filler"))["outdoors"]
    assert str(found.words) == "The preservative has had 2 of its 5 rain-free days outdoors."
    assert found.earliest == datetime(2031, 5, 17, 18, tzinfo=UTC)  # today, the 15th, may count


@pytest.mark.parametrize(
    ("days_ago", "hour", "earliest"),
    [
        ((6, 5, 4, 3), 9, (15, 18)),  # today may be the fifth
        ((6, 5, 4, 3), 19, (16, 8)),  # said in the evening, with today not told yet
        ((6, 5, 4, 0), 9, (16, 18)),  # today counts already
        ((6, 5, 0), 19, (17, 18)),
    ],
)
def test_the_earliest_moment_is_the_evening_of_the_last_day_without_rain(
    days_ago: tuple[int, ...], hour: int, earliest: tuple[int, int]
) -> None:
    ask = replace(asking_to_move("filler"), at=NOW.replace(hour=hour))
    day, oclock = earliest
    assert refusals(airing(*days_ago), ask)["outdoors"].earliest == datetime(2031, 5, day, oclock, tzinfo=UTC)


def test_on_the_day_on_which_it_went_on_no_day_is_over() -> None:
    fresh = replace(TREATED, at=NOW - timedelta(hours=1))
    found = refusals(airing(coat=fresh), asking_to_move("filler"))["outdoors"]
    assert found.earliest == datetime(2031, 5, 20, 18, tzinfo=UTC)


@pytest.mark.parametrize("days", [4, 5, 7])
def test_the_shop_sets_the_number_of_days(days: int) -> None:
    treated = product("preservative")
    products = the_products() | {treated.id: replace(treated, dry_days_outdoors=days)}
    for dry, refused in ((days - 1, True), (days, False)):
        world = replace(a_world(dry=dry_days(*range(7 - dry, 7))), products=products)
        work = a_work(coats=[CANVAS, TREATED], at="yard", world=world)
        assert ("outdoors" in refusals(work, asking_to_move("filler"))) is refused


def test_only_days_that_began_with_the_hull_outdoors_count() -> None:
    """A hull that its owner had brought in early has aired no longer, though the sun shone on."""
    went_in = (a_stay("yard"), a_stay("rack", days_ago=3.0), a_stay("yard", days_ago=1.0))
    work = airing(5, 4, 3, 2, 1, 0)
    assert "outdoors" not in refusals(work, asking_to_move("filler"))
    broken = work.with_state(replace(work.state, stays=went_in))
    found = refusals(broken, asking_to_move("filler"))["outdoors"]
    assert found.words.values["done"] == 4  # 5, 4, 3 days ago (it went in at nine) and today, not 2 and 1


def test_nothing_covers_it_and_its_step_is_not_finished_while_it_airs() -> None:
    fill = asking_to_coat("latex_filler")
    finish = asking_to_finish(PRESERVE)
    assert "outdoors" in refusals(airing(6, 5, 4, 3), fill)
    assert "outdoors" not in refusals(airing(6, 5, 4, 3, 2), fill)
    assert "outdoors" in refusals(airing(6, 5, 4, 3), finish)
    assert "outdoors" not in refusals(airing(6, 5, 4, 3, 2), finish)


def test_it_may_move_about_outdoors_and_take_another_coat_while_it_airs() -> None:
    assert refusals(airing(), asking_to_move("yard")) == {}
    assert "outdoors" not in refusals(airing(), asking_to_coat("preservative", zone=YARD))


def test_another_coat_begins_the_count_anew() -> None:
    second = replace(TREATED, at=NOW - timedelta(days=2))
    assert "outdoors" in refusals(airing(6, 5, 4, 3, 2, 1, coat=second), asking_to_move("filler"))


def test_once_it_is_covered_the_days_are_no_matter() -> None:
    coats = [CANVAS, TREATED, a_coat("latex_filler")]
    assert "outdoors" not in refusals(a_work(coats=coats, at="filler"), asking_to_move("finishing"))


@pytest.mark.parametrize(("zone", "refused"), [(INDOORS, True), (YARD, False)])
def test_preservative_goes_on_outdoors(zone: int, refused: bool) -> None:
    found = refusals(a_work(coats=[CANVAS]), asking_to_coat("preservative", zone=zone))
    assert set(found) == ({"outdoors"} if refused else set())


@pytest.mark.parametrize(("zone", "refused"), [(INDOORS, False), (YARD, True)])
def test_latex_filler_goes_on_out_of_the_sun(zone: int, refused: bool) -> None:
    found = refusals(a_work(coats=[CANVAS]), asking_to_coat("latex_filler", zone=zone))
    assert set(found) == ({"outdoors"} if refused else set())


@pytest.mark.parametrize(("hours", "refused"), [(47, True), (48, False), (49, False)])
def test_latex_filler_dries_out_of_the_sun(hours: float, refused: bool) -> None:
    work = a_work(coats=[CANVAS, a_coat("latex_filler", hours_ago=hours)], at="filler")
    assert ("outdoors" in refusals(work, asking_to_move("yard"))) is refused
    assert "outdoors" not in refusals(work, asking_to_move("trim"))


def test_a_bare_hull_goes_in_and_out_as_it_likes() -> None:
    ask = Ask(action=Action.MOVE, at=NOW, station=a_world().stations[1])
    assert refusals(a_work(at="yard"), ask) == {}
