import io
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from hulls.intake import DateOrder, HullRow, RowProblem, SheetError, open_sheet
from hulls.models import Hull, Owner
from shop.models import Pulse
from stages.audit import differences
from stages.engine.assess import assess
from stages.engine.errors import EngineError
from stages.models import Entry, HullWork, Route
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services.intake import Intake, take_in_sheet
from tests.factories import a_hull, a_shop, the_shop_owner
from tests.hulls.intake.sheets import DATA, HEADER, a_file

pytestmark = pytest.mark.django_db

SOUND = "Ann Teller,16 ft,34 in,12 in,24 in"
NOW = datetime(2026, 7, 1, 10, 30, tzinfo=ZoneInfo("America/Chicago"))


def take_in(file: io.BytesIO, **options: bool | DateOrder) -> tuple[Intake, list[RowProblem]]:
    problems: list[RowProblem] = []

    def watch(found: HullRow | RowProblem) -> None:
        if isinstance(found, RowProblem):
            problems.append(found)

    sheet = open_sheet(file)
    return take_in_sheet(sheet=sheet, by=the_shop_owner(), now=NOW, watch=watch, **options), problems  # type: ignore[arg-type]


def sample(name: str) -> io.BytesIO:
    return io.BytesIO((DATA / name).read_bytes())


def test_a_good_sheet_is_taken_in_whole() -> None:
    a_shop()
    before = Pulse.now().beat
    assert take_in(sample("us.csv")) == (Intake(good=3, bad=0, taken_in=3), [])
    hull = Hull.objects.select_related("owner").get(tag="H-201")
    # 16 ft and 34 1/2 in at 25.4 mm to the inch (international agreement of 1959).
    assert (hull.length_m, hull.beam_m) == pytest.approx((4.8768, 0.8763))
    assert (hull.owner.name, hull.owner.email) == ("Nils Øvrebø", "nils@example.org")
    assert (hull.name, hull.colour, hull.colour_name) == ("Otterwake", "#2f5d46", "spruce green")
    assert (hull.arrived_on.isoformat(), hull.get_priority_display()) == ("2026-03-02", "must be on time")
    assert Pulse.now().beat != before


def test_the_tables_equal_the_log_and_every_hull_can_be_assessed() -> None:
    a_shop()
    take_in(sample("us.csv"))
    assert list(differences()) == []
    works = in_work(HullWork.objects.select_related("hull__owner", "route"), around().world)
    assert all(assess(one.work, timezone.now()) for one in works)


def test_a_hull_from_a_sheet_is_like_one_that_was_taken_in_by_hand() -> None:
    a_shop()
    by_hand = a_hull("H-1", arrived=NOW.replace(hour=0, minute=0))
    take_in(a_file(HEADER + ",arrived", f"H-2,{SOUND},2026-07-01"))
    one, other = HullWork.objects.get(hull=by_hand), HullWork.objects.get(hull__tag="H-2")
    for name in ("route_id", "station_id", "place", "arrived_at", "handed_over_at", "facts", "lines"):
        assert getattr(one, name) == getattr(other, name), name
    first, second = Entry.objects.get(hull=by_hand), Entry.objects.get(hull=other.hull)
    for name in ("number", "kind", "stage", "at", "details"):
        assert getattr(first, name) == getattr(second, name), name


def test_every_hull_of_a_sheet_would_pass_the_checks_of_a_form() -> None:
    a_shop()
    take_in(sample("us.csv"))
    take_in(sample("semicolons-windows-1252.csv"), date_order=DateOrder.DMY)
    for hull in Hull.objects.select_related("owner"):
        hull.full_clean()
        hull.owner.full_clean()


def test_what_a_sheet_leaves_open_is_the_usual_way_of_the_shop() -> None:
    a_shop()
    take_in(a_file(HEADER + ",colour", f"H-1,{SOUND},#5B2A4E", f"H-2,{SOUND},"))
    usual = Hull()
    one, other = Hull.objects.order_by("tag")
    assert (one.colour, one.colour_name) == ("#5b2a4e", "#5b2a4e")
    assert (other.colour, other.colour_name) == (usual.colour, usual.colour_name)
    assert (other.filler, other.priority) == (usual.filler, usual.priority)
    assert other.arrived_on == NOW.date()
    # An arrival is at the first minute of its day, by the shop's clock.
    assert Entry.objects.get(hull=other).at == datetime(2026, 7, 1, tzinfo=NOW.tzinfo)


def test_one_bad_row_keeps_every_row_out() -> None:
    a_shop()
    intake, problems = take_in(sample("bad.csv"))
    assert intake == Intake(good=2, bad=7)
    assert {problem.row for problem in problems} == {3, 4, 5, 6, 7, 8, 9}
    assert not Hull.objects.exists()
    assert not Owner.objects.exists()
    assert not Entry.objects.exists()


def test_the_good_rows_are_kept_when_they_are_asked_for() -> None:
    a_shop()
    assert take_in(sample("bad.csv"), keep_good=True)[0] == Intake(good=2, bad=7, taken_in=2)
    assert sorted(Hull.objects.values_list("tag", flat=True)) == ["B-1", "B-9"]
    assert list(differences()) == []


@pytest.mark.parametrize("keep_good", [True, False])
def test_a_dry_run_writes_nothing(keep_good: bool) -> None:
    a_shop()
    before = Pulse.now().beat
    assert take_in(sample("us.csv"), dry_run=True, keep_good=keep_good)[0] == Intake(good=3, bad=0)
    assert not Hull.objects.exists()
    assert Pulse.now().beat == before


def test_a_tag_that_the_shop_has_already_is_a_problem_whatever_its_capitals() -> None:
    a_shop()
    a_hull("h-1")
    intake, problems = take_in(a_file(HEADER, f"H-1,{SOUND}", f"H-2,{SOUND}"))
    assert intake == Intake(good=1, bad=1)
    assert [(one.row, one.column, one.reason) for one in problems] == [
        (2, "tag", "The shop has a hull with the tag H-1 already.")
    ]


def test_the_same_sheet_twice_changes_nothing_the_second_time() -> None:
    a_shop()
    take_in(sample("us.csv"))
    intake, problems = take_in(sample("us.csv"), keep_good=True)
    assert intake == Intake(good=0, bad=3)
    assert len(problems) == Hull.objects.count() == 3


def test_one_owner_with_three_boats_is_one_owner() -> None:
    a_shop()
    held = Owner.objects.create(name="Ann Teller", email="ann@example.org")
    rows = [f"H-{n},{SOUND},{email}" for n, email in enumerate(["ann@example.org", "", "", "ann@example.org"])]
    take_in(a_file(HEADER + ",email", *rows))
    assert Owner.objects.count() == 2
    assert held.hulls.count() == 2


def test_a_tag_taken_between_the_check_and_the_writing_undoes_everything() -> None:
    a_shop()

    def somebody_is_faster(found: HullRow | RowProblem) -> None:
        if isinstance(found, HullRow) and found.tag == "H-2":
            a_hull("H-2")

    sheet = open_sheet(a_file(HEADER, f"H-1,{SOUND}", f"H-2,{SOUND}"))
    with pytest.raises(SheetError, match="Nothing was taken in"):
        take_in_sheet(sheet=sheet, by=the_shop_owner(), now=NOW, watch=somebody_is_faster)
    assert list(Hull.objects.values_list("tag", flat=True)) == ["H-2"]


def test_without_a_route_nothing_is_taken_in() -> None:
    a_shop()
    Route.objects.update(current=False)
    with pytest.raises(EngineError, match="No route is published"):
        take_in(sample("us.csv"))
    assert not Hull.objects.exists()


def test_many_rows_cost_few_queries(django_assert_max_num_queries) -> None:  # type: ignore[no-untyped-def]
    a_shop()
    take_in(a_file(HEADER, f"W-1,{SOUND}"))
    lines = [f"H-{n},Owner {n},16 ft,34 in,12 in,24 in" for n in range(400)]
    with django_assert_max_num_queries(40):  # one for ten hulls; SQLite takes some fifty rows an insert
        intake, _ = take_in(a_file(HEADER, *lines))
    assert intake.taken_in == 400


def test_writing_is_told_of_handful_by_handful() -> None:
    a_shop()
    told: list[int] = []
    sheet = open_sheet(a_file(HEADER, *(f"H-{n},{SOUND}" for n in range(1_100))))
    take_in_sheet(sheet=sheet, by=the_shop_owner(), now=NOW, watch=lambda found: None, wrote=told.append)
    assert told == [500, 1_000, 1_100]
    assert Hull.objects.count() == HullWork.objects.count() == Entry.objects.count() == 1_100


def test_an_arrival_today_is_never_in_the_future() -> None:
    a_shop()
    take_in(a_file(HEADER, f"H-1,{SOUND}"))
    assert timedelta() <= NOW - Entry.objects.get().at < timedelta(days=1)
