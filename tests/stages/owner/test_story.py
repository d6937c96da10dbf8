from datetime import date, timedelta

from hulls.models import Photo
from hulls.photo_shown import Shown, shown
from stages.engine.log import LogEntry
from stages.engine.route import Route
from stages.owner.story import Day, story
from tests.stages.engine.trade import NOW, a_line, the_route

TODAY = NOW.date()


def told(
    *log: LogEntry, photos: tuple[Shown, ...] = (), route: Route | None = None
) -> list[tuple[str, tuple[str, ...]]]:
    days: tuple[Day, ...] = story(route or the_route(), log, photos, TODAY)
    return [(day.says, day.lines) for day in days]


def test_the_latest_day_comes_first_and_its_lines_in_their_order() -> None:
    assert told(
        a_line(1, "arrived", -48),
        a_line(2, "finished", -47, "survey"),
        a_line(3, "finished", -24, "estimate"),
    ) == [
        ("14 May", ("Finished: Estimate approved",)),
        ("13 May", ("Your boat came in", "Finished: Survey and photos")),
    ]


def test_coats_of_one_day_are_told_together_and_counted_over_all_days() -> None:
    log = [a_line(n, "coat", hours, "seal_inside_before") for n, hours in ((1, -48), (2, -4), (3, -2))]
    assert told(*log) == [
        ("15 May", ("Seal the inside: coats 2 to 3 of 3",)),
        ("13 May", ("Seal the inside: coat 1 of 3",)),
    ]


def test_a_single_coat_goes_on_by_the_name_of_what_it_is() -> None:
    assert told(a_line(1, "coat", -2, "canvas")) == [("15 May", ("The canvas went on",))]


def test_a_coat_more_than_planned_is_counted_on() -> None:
    log = [a_line(n, "coat", -30 * (4 - n), "enamel") for n in range(5)]
    assert told(*log)[0][1] == ("Enamel: coat 5 of 5",)


def test_what_was_struck_was_never_told_and_the_count_goes_without_it() -> None:
    log = [
        a_line(1, "coat", -48, "enamel"),
        a_line(2, "coat", -24, "enamel"),
        a_line(3, "strike", -23, "enamel", entry=1, reason="the wrong boat"),
    ]
    assert told(*log) == [("14 May", ("Enamel: coat 1 of 3",))]


def test_the_hand_over_is_told_as_such() -> None:
    assert told(a_line(1, "finished", -1, "hand_over")) == [("15 May", ("Your boat was handed over",))]


def test_what_belongs_to_the_shop_is_not_told() -> None:
    kinds = (
        "moved",
        "note",
        "moisture",
        "lead_test",
        "rags",
        "left_out",
        "put_back",
        "link",
        "found",
        "survey",
        "sanded",
    )
    log = [a_line(n, kind, -n, "", text="a note") for n, kind in enumerate(kinds, start=1)]
    assert told(*log) == []


def test_a_day_with_photos_alone_is_a_day() -> None:
    taken = Photo(pk=1, caption="The new stem", taken_at=NOW - timedelta(days=400))
    photo = shown(taken, lambda pk, size: f"/photos/{pk}/{size}/")
    days = story(the_route(), [], [photo], TODAY)
    assert [(day.on, day.says, day.photos) for day in days] == [(date(2030, 4, 10), "10 April 2030", (photo,))]
