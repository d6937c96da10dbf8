"""The drawn plan: where bars lie, what is left out, and what is lit; each place worked out by hand."""

from datetime import UTC, datetime

from stages.pictures.plan import FOOT, GROUP, HEAD, ROW, PlanGroup, PlanPicture, PlanRow, Stretch, draw_plan, joined
from stages.pictures.timeline import Timeline

MONDAY = datetime(2026, 5, 4, tzinfo=UTC).timestamp()
HOUR = 3600.0
A_DAY = Timeline(MONDAY, MONDAY + 24 * HOUR)


def stretch(boat: str, start: float, end: float, *sittings: tuple[float, float], stays: bool = False) -> Stretch:
    """A stretch by hours since Monday's midnight."""
    sat = tuple((MONDAY + a * HOUR, MONDAY + b * HOUR) for a, b in sittings)
    since, until = MONDAY + start * HOUR, MONDAY + end * HOUR
    return Stretch(boat=boat, start_s=since, end_s=until, colour="#2f5d46", says=boat, stays=stays, sittings=sat)


def draw(*stretches: Stretch, lit: str = "") -> PlanPicture:
    """A day with one row."""
    groups = [PlanGroup(title="wood", rows=[PlanRow(title="Wood bench 1", stretches=stretches)])]
    shut = [(MONDAY - HOUR, MONDAY + 6 * HOUR), (MONDAY + 30 * HOUR, MONDAY + 31 * HOUR)]
    return draw_plan(A_DAY, groups, shut=shut, now_s=MONDAY + 12 * HOUR, zone=UTC, lit=lit)


def test_bars_lie_where_their_hours_are() -> None:
    bars = draw(stretch("H-1", 6, 18, (6, 9), stays=True)).groups[0].rows[0].bars
    assert [(bar.whole.x, bar.whole.width) for bar in bars] == [("25%", "50%")]
    assert [(sat.x, sat.width) for sat in bars[0].sittings] == [("25%", "12.5%")]


def test_what_lies_outside_is_left_out_and_what_reaches_in_is_cut() -> None:
    row = draw(stretch("H-1", -8, 6, (-8, -6), (0, 3)), stretch("H-2", 24, 30), stretch("H-3", -2, 0)).groups[0].rows[0]
    assert [(bar.stretch.boat, bar.whole.x, bar.whole.width) for bar in row.bars] == [("H-1", "0%", "25%")]
    assert [sat.width for sat in row.bars[0].sittings] == ["12.5%"]


def test_the_shut_hours_and_the_present_are_marked() -> None:
    picture = draw()
    assert [(shade.x, shade.width) for shade in picture.shut] == [("0%", "25%")]
    assert picture.now == "50%"
    assert picture.foot == HEAD + GROUP + ROW
    assert picture.height == picture.foot + FOOT


def test_a_lit_boat_fades_the_others_and_without_one_nothing_is_faded() -> None:
    both = (stretch("H-1", 1, 2), stretch("H-2", 3, 4))
    assert [bar.lit for bar in draw(*both, lit="H-2").groups[0].rows[0].bars] == [False, True]
    assert [bar.lit for bar in draw(*both).groups[0].rows[0].bars] == [None, None]


def test_only_a_bar_that_is_wide_enough_names_its_boat() -> None:
    bars = draw(stretch("H-1", 1, 2), stretch("H-2", 3, 5)).groups[0].rows[0].bars
    assert [bar.words for bar in bars] == [False, True]


def test_sittings_of_one_boat_with_no_more_than_a_night_between_are_one_bar() -> None:
    night = 16 * HOUR
    found = joined(
        [stretch("H-1", 24, 30), stretch("H-1", 0, 8), stretch("H-2", 31, 32), stretch("H-1", 33, 34)], night
    )
    hours = [(one.boat, (one.start_s - MONDAY) / HOUR, (one.end_s - MONDAY) / HOUR) for one in found]
    assert hours == [("H-1", 0, 30), ("H-2", 31, 32), ("H-1", 33, 34)]
    assert len(joined([stretch("H-1", 0, 8), stretch("H-1", 25, 30)], night)) == 2
