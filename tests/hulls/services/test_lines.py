"""Writing down a hull's lines: on the row, on record, once."""

import pytest
from django.utils import timezone

from hulls.lines import LinesError, Offsets, Taped, measure_offsets
from hulls.models import Hull, LinesKind, LinesRecord
from hulls.offsets.kept import Lines, kept
from hulls.services.lines import record_lines
from hulls.sizes import sizes_of
from shop.models import CrewMember, Pulse
from tests.factories import a_crew_member, a_hull, a_shop
from tests.hulls.lines.tables import half_ellipsoid

pytestmark = pytest.mark.django_db

STATIONS = (Taped(x_m=2.45, girth_m=1.35),)
TABLE = Offsets.of_points(half_ellipsoid(2.45, 0.44, 0.31, 12, 8))


@pytest.fixture
def hull() -> Hull:
    a_shop()
    return a_hull()


@pytest.fixture
def hand() -> CrewMember:
    return a_crew_member()


def write(hull: Hull, lines: Lines | None, hand: CrewMember) -> bool:
    return record_lines(hull_id=hull.pk, lines=lines, by=hand, now=timezone.now())


def test_sizes_come_from_what_was_written_down_last(hull: Hull, hand: CrewMember) -> None:
    before = Pulse.now().beat

    assert write(hull, STATIONS, hand)
    assert write(hull, TABLE, hand)

    hull.refresh_from_db()
    assert sizes_of(hull) == measure_offsets(TABLE)
    assert [record.kind for record in LinesRecord.objects.all()] == [LinesKind.OFFSETS, LinesKind.TAPED]
    assert LinesRecord.objects.all()[1].table == kept(STATIONS)
    assert Pulse.now().beat != before


def test_the_same_again_changes_nothing(hull: Hull, hand: CrewMember) -> None:
    write(hull, STATIONS, hand)
    before = Pulse.now().beat

    assert not write(hull, STATIONS, hand)

    assert LinesRecord.objects.count() == 1
    assert Pulse.now().beat == before


def test_going_back_to_the_four_measures_is_on_record_too(hull: Hull, hand: CrewMember) -> None:
    plain = sizes_of(hull)
    write(hull, STATIONS, hand)
    write(hull, None, hand)

    hull.refresh_from_db()
    assert sizes_of(hull) == plain
    assert LinesRecord.objects.all()[0].kind == LinesKind.NONE


@pytest.mark.parametrize(
    "lines",
    [
        (Taped(x_m=2.45, girth_m=49.5),),
        (Taped(x_m=9.0, girth_m=1.3),),
        Offsets.of_points(half_ellipsoid(1.9, 0.44, 0.31, 12, 8)),
    ],
)
def test_numbers_that_are_not_this_hulls_are_refused(hull: Hull, hand: CrewMember, lines: Lines) -> None:
    with pytest.raises(LinesError):
        write(hull, lines, hand)

    hull.refresh_from_db()
    assert (hull.lines_table, LinesRecord.objects.count()) == ("", 0)
