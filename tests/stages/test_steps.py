"""The next step in words, with its ring and its moment; the engine's own findings beneath."""

from dataclasses import replace
from typing import Any

import pytest

from stages.engine.assess import StageStatus, assess, headline
from stages.engine.findings import Finding, say
from stages.engine.state import StageRecord
from stages.engine.vocab import Action, Condition, Severity, Surface
from stages.engine.work import Work
from stages.queries.steps import LONGEST_WORDS, Ring, deed, left_h, ring_of, ring_pct, step_when, step_words
from tests.stages.engine.trade import NOW, a_coat, a_work, a_world, dry_days, later, steady, the_route

OLD = dict.fromkeys(Surface, Condition.UNKNOWN)


def up_to(key: str, **more: Any) -> Work:
    """A hull on which everything before a stage is finished."""
    return a_work(finished=the_route().before[key], **more)


def in_hand(key: str, coats_on: int = 0, **more: Any) -> Work:
    """A hull with a stage on the bench."""
    records = {key: StageRecord(started_at=later(-200), coats_on=coats_on, **more.pop("record", {}))}
    return up_to(key, records=records, **more)


def head(work: Work) -> StageStatus:
    found = headline(assess(work, NOW))
    assert found is not None
    return found


def told(work: Work) -> tuple[str, str]:
    status = head(work)
    return step_words(status, work), step_when(status, NOW)


def test_a_step_to_start_says_its_name_and_its_hours() -> None:
    assert told(up_to("survey", at="rack")) == ("Survey and photos", "now · 1.5 h")
    assert deed(head(up_to("survey", at="rack"))) == "start"


def test_a_step_on_the_bench_says_its_name_and_its_hours() -> None:
    assert told(in_hand("wash", at="strip")) == ("Wash and dry", "now · 2 h")
    assert deed(head(in_hand("wash", at="strip"))) == "go on and finish"


def test_a_coat_says_which_of_how_many_and_the_hours_that_are_left() -> None:
    coats = [a_coat("canvas"), a_coat("primer", of="prime", sanded=True)]
    work = in_hand("prime", 1, at="finishing", coats=coats)
    whole_h = the_route().by_key["prime"].hours(work.scope)
    assert told(work)[0] == "Prime: coat 2 of 2"
    assert left_h(head(work)) == pytest.approx(whole_h / 2)


def test_a_coat_that_is_not_sanded_asks_for_it_first() -> None:
    work = in_hand("prime", 1, at="finishing", coats=[a_coat("canvas"), a_coat("primer", of="prime")])
    assert told(work)[0] == "Prime: sand before coat 2 of 2"


def test_a_single_coat_is_called_by_what_it_is() -> None:
    work = in_hand("canvas", at="canvas", coats=[a_coat("oil")])
    assert told(work)[0] == "Stretch and tack the canvas"
    assert deed(head(work)) == "put on the canvas"


def test_oily_rags_come_before_the_finish() -> None:
    record = {"rags_due_since": later(-100)}
    work = in_hand("oil", 1, at="finishing", coats=[a_coat("oil", of="oil")], record=record)
    assert told(work) == ("Oil the outside of the bare hull: see to the oily rags", "now")


def test_a_coat_that_is_on_and_dry_is_to_be_finished() -> None:
    work = in_hand("oil", 1, at="finishing", coats=[a_coat("oil", of="oil")])
    assert told(work) == ("Oil the outside of the bare hull: finish", "now")
    assert ring_of(head(work)) == Ring(100, "dry")


def test_a_hull_at_another_station_is_to_be_moved() -> None:
    assert told(up_to("unfit", at="rack")) == (
        "Fittings, keel, stem bands and outwales off: move to strip station",
        "now",
    )


def test_a_hull_whose_next_station_is_full_waits_for_a_place() -> None:
    work = up_to("unfit", at="rack", world=a_world(full=["strip"]))
    assert told(work) == ("Waits for a place: strip station", "")
    assert ring_of(head(work)) is None


def test_a_drying_coat_says_what_dries_how_far_and_until_when() -> None:
    coats = [a_coat("canvas"), a_coat("primer", of="prime", hours_ago=8)]
    work = in_hand("prime", 1, at="finishing", coats=coats)
    assert told(work) == ("Primer drying, coat 1", "today 17:00")  # 16 h on the label, at the label's own air
    ring = ring_of(head(work))
    assert ring is not None
    assert ring.pct in (45, 50)


def test_a_single_coat_drying_has_no_number() -> None:
    work = in_hand("oil", 1, at="finishing", coats=[a_coat("oil", of="oil", hours_ago=24)])
    assert told(work) == ("Oil drying", "Fri 09:00")


def test_a_coat_that_stands_still_says_so() -> None:
    coats = [a_coat("canvas"), a_coat("primer", of="prime", hours_ago=8)]
    work = in_hand("prime", 1, at="finishing", coats=coats, world=a_world(air=steady(2.0, 50.0)))
    assert told(work) == ("Primer drying, coat 1", "stands still")


def test_preservative_outdoors_counts_its_dry_days() -> None:
    coats = [a_coat("canvas"), a_coat("preservative", of="preserve", hours_ago=24 * 6, zone=2)]
    work = in_hand("preserve", 1, at="yard", coats=coats, world=a_world(dry=dry_days(1, 2, 4)))
    assert told(work) == ("Airing, dry day 3 of 5", "Fri 18:00")
    assert ring_of(head(work)) == Ring(60, "60 % of the way")


def test_old_finish_waits_for_a_lead_test() -> None:
    work = up_to("uncanvas", at="strip", old=OLD, records={"strip_inside": StageRecord(left_out="sound")})
    assert told(work) == ("Waits for a lead test", "")


def test_words_that_are_too_long_are_cut() -> None:
    long = Finding(rule="other", severity=Severity.REFUSES, words=say("a" * 200), clears=say("b"))
    status = replace(head(up_to("unfit", at="rack")), next=Action.START, findings=(long,))
    assert len(step_words(status, up_to("unfit"))) == LONGEST_WORDS


@pytest.mark.parametrize(
    ("share", "pct"), [(0.0, 0), (0.049, 0), (0.05, 5), (0.5, 50), (0.949, 90), (0.95, 95), (0.9999, 95), (1.0, 95)]
)
def test_a_ring_moves_in_steps_and_is_full_only_when_all_is_done(share: float, pct: int) -> None:
    assert ring_pct(share) == pct


def test_hours_of_what_is_a_word_are_not_told() -> None:
    status = head(up_to("unfit", at="rack"))
    assert left_h(status) is None
    assert left_h(replace(status, next=Action.START)) == status.hours
