"""What an owner reads, for every state and every rule; the shop, its route and its coats are those of a new shop."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from stages.engine.assess import assess, headline
from stages.engine.rules import RULES
from stages.engine.state import Agreement, StageRecord
from stages.engine.vocab import Answer, Condition, Paper, State, Surface
from stages.engine.work import Work
from stages.owner.today import SETTLES, WAITS, told
from tests.stages.engine.trade import NOW, a_coat, a_route, a_stage, a_work, a_world, dry_days, later, stage, steady


def says(work: Work) -> str:
    return told(work, assess(work, NOW), NOW)


def begun(coats_on: int) -> StageRecord:
    return StageRecord(started_at=later(-48), coats_on=coats_on)


ENAMEL_ALONE = a_route(replace(stage("enamel"), after=()))


def test_a_boat_that_has_just_come_in_waits_for_its_first_step() -> None:
    assert says(a_work(at="rack")) == "Your boat has come in. Next comes: Survey and photos."


def test_a_step_at_a_station_starts_when_hands_are_free() -> None:
    work = a_work(at="strip", finished=["survey", "estimate"])
    gaps = "Next comes: Fittings, keel, stem bands and outwales off. It starts as soon as hands are free."
    assert says(work) == gaps


def test_a_step_in_hand_is_told_in_its_own_words() -> None:
    work = a_work(at="strip", finished=["survey", "estimate"], started=["unfit"])
    assert says(work) == "Fittings, keel and outwales are coming off."


def test_a_step_without_words_of_its_own_is_told_by_its_name() -> None:
    assert says(a_work(route=a_route(a_stage("Bailing")), started=["Bailing"])) == "In hand: Bailing."


def test_a_drying_coat_says_which_it_is_when_it_is_dry_and_what_comes_then() -> None:
    # 16 h to sand on the enamel's label, at the label's own 23 °C: on since 19:00, so hard at 11:00
    coat = replace(a_coat("enamel", hours_ago=14, of="enamel"), number=2)
    work = a_work(at="finishing", route=ENAMEL_ALONE, coats=[coat], records={"enamel": begun(2)})
    assert says(work) == (
        "The second coat of enamel is drying. This morning it is hard enough to sand, then the last coat goes on."
    )


def test_the_last_coat_is_called_so_and_ends_the_step() -> None:
    coat = replace(a_coat("enamel", hours_ago=14, of="enamel"), number=3)  # 48 h to handle: Friday, 19:00
    work = a_work(at="finishing", route=ENAMEL_ALONE, coats=[coat], records={"enamel": begun(3)})
    assert says(work) == (
        "The last coat of enamel is drying. Tomorrow evening it is hard enough to be handled, and this step is done."
    )


def test_the_first_of_three_is_followed_by_the_next() -> None:
    coat = a_coat("enamel", hours_ago=1, of="enamel")
    work = a_work(at="finishing", route=ENAMEL_ALONE, coats=[coat], records={"enamel": begun(1)})
    assert says(work).endswith("Tomorrow morning it is hard enough to sand, then the next coat goes on.")


def test_a_time_that_leans_on_missing_readings_is_said_with_care() -> None:
    coat = a_coat("enamel", hours_ago=1, of="enamel")
    unread = replace(a_world(), air={})
    work = a_work(at="finishing", route=ENAMEL_ALONE, coats=[coat], records={"enamel": begun(1)}, world=unread)
    assert "it should be hard enough to sand" in says(work)


def test_a_coat_that_stands_still_has_no_date() -> None:
    coat = a_coat("enamel", hours_ago=1, of="enamel")
    cold = a_world(air=steady(air_c=2.0))  # under the enamel's lowest, 7 °C
    work = a_work(at="finishing", route=ENAMEL_ALONE, coats=[coat], records={"enamel": begun(1)}, world=cold)
    assert says(work) == (
        "The first coat of enamel is drying. The air is too cold or too damp for it just now, so it has to wait."
    )


def test_coats_so_far_are_counted_while_hands_work() -> None:
    coat = a_coat("enamel", hours_ago=40, sanded=True, of="enamel")
    work = a_work(at="finishing", route=ENAMEL_ALONE, coats=[coat], records={"enamel": begun(1)})
    assert says(work) == "The paint is going on. Coats so far: 1 of 3."


def test_all_coats_on_and_dry_are_said_so() -> None:
    coat = replace(a_coat("enamel", hours_ago=100, of="enamel"), number=3)
    work = a_work(at="finishing", route=ENAMEL_ALONE, coats=[coat], records={"enamel": begun(3)})
    assert says(work) == "The paint is going on. All 3 coats are on."


def test_airing_outdoors_counts_its_days_and_names_the_day_only_if_it_stays_dry() -> None:
    preserve = replace(stage("preserve"), after=())
    coats = [a_coat("canvas", of="canvas"), replace(a_coat("preservative", hours_ago=100, of="preserve"), zone=2)]
    work = a_work(
        at="yard",
        route=a_route(preserve),
        coats=coats,
        records={"preserve": begun(1)},
        world=a_world(dry=dry_days(1, 2)),
    )
    assert says(work) == (
        "The canvas is treated against rot and airs outdoors. It has had 2 of its 5 days without rain. "
        "If the days stay dry, it can come in on Saturday evening."
    )


def test_a_step_that_waits_for_a_coat_to_dry_names_the_coat_and_the_step() -> None:
    canvas = replace(stage("canvas"), after=())
    oil = replace(stage("oil"), after=())
    coat = a_coat("oil", hours_ago=12, of="oil")  # 48 h to handle: Friday, 21:00
    records = {"oil": StageRecord(started_at=later(-13), finished_at=later(-11), coats_on=1)}
    work = a_work(at="canvas", route=a_route(oil, canvas), coats=[coat], records=records)
    assert says(work) == (
        "The oil is drying. Tomorrow evening it is hard enough to be handled. Next comes: Stretch and tack the canvas."
    )


def test_a_full_shop_is_told_without_saying_who_stands_there() -> None:
    work = a_work(at="rack", finished=["survey", "estimate"], world=a_world(full=["strip"]))
    assert says(work) == ("Next comes: Fittings, keel, stem bands and outwales off. It waits for a free bench.")


def test_old_finish_is_tested_for_lead_before_anybody_sands_it() -> None:
    old = {Surface.SKIN: Condition.SOUND, Surface.INSIDE: Condition.SOUND}
    work = a_work(at="strip", finished=["survey", "estimate", "unfit"], old=old)
    assert says(work) == "Next comes: Old canvas off. Before anybody sands the old finish, we test it for lead."


def test_a_boat_that_went_home_says_only_that() -> None:
    work = a_work(handed_over_at=NOW - timedelta(days=3))
    assert says(work) == "Your boat was handed over on 12 May."


def test_a_boat_with_nothing_left_to_do_says_so() -> None:
    work = a_work(route=a_route(a_stage("Bailing")), finished=["Bailing"])
    assert says(work) == "All the work is done."


@pytest.mark.parametrize("rule", [rule.id for rule in RULES])
def test_whatever_a_rule_says_its_own_words_stay_in_the_shop(rule: str) -> None:
    work = a_work(at="finishing", route=ENAMEL_ALONE, started=["enamel"])
    statuses = assess(work, NOW)
    head = headline(statuses)
    assert head is not None
    assert head.state is State.ON_BENCH
    finding = next(finding for finding in head.findings if finding.refuses)
    stopped = replace(head, findings=(replace(finding, rule=rule),))
    said = told(work, (stopped,), NOW)
    assert said == f"The paint is going on. {WAITS.get(rule, SETTLES)}"
    assert str(finding.words) not in said


# --- The estimate


def agreed(answer: str, paper: str = "estimate") -> Agreement:
    return Agreement(paper=Paper(paper), version=1, digest="d", answer=Answer(answer))


AT_THE_GATE: dict[str, Any] = {"finished": ["survey"], "world": replace(a_world(), estimates_first=True)}


def test_before_an_estimate_is_sent_it_is_being_worked_out() -> None:
    assert says(a_work(at="rack", **AT_THE_GATE)) == "We are working out your estimate."


@pytest.mark.parametrize("started", [(), ("estimate",)])
def test_a_sent_estimate_waits_for_the_owner_s_yes(started: tuple[str, ...]) -> None:
    work = a_work(at="rack", started=started, agreements={"E-1": agreed("")}, **AT_THE_GATE)
    assert says(work) == "We wait for your yes to the estimate below."


def test_a_declined_estimate_is_worked_out_anew() -> None:
    work = a_work(at="rack", agreements={"E-1": agreed("declined")}, **AT_THE_GATE)
    assert says(work) == "You declined our estimate: we work out another one."


def test_a_step_that_a_change_order_stops_waits_for_the_answer() -> None:
    asked = replace(agreed("", "change"), stages=("unfit",))
    work = a_work(at="strip", finished=["survey", "estimate"], started=["unfit"], agreements={"C-1": asked})
    assert says(work).endswith("We wait for your answer; what we ask stands below.")
