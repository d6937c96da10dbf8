"""Small problems, planned by hand: the arithmetic stands beside each."""

from typing import Any

from stages.planner.decode import decode
from stages.planner.listplan import list_plan
from stages.planner.problem import Begun, Held, Job, Link, Person, Problem, Resource, Since, Step, Use, Weights
from stages.planner.schedule import Schedule

ASA = Person(key="asa", name="Asa", skills=frozenset({"hands"}), works=((0, 8), (24, 32)))
ON_BENCH = (Use(resource="bench"),)
BENCH = Resource(key="bench", title="Bench", capacity=1)


def a_step(key: str, *sittings: int, job: str = "h1", uses: tuple[Use, ...] = ON_BENCH, **given: Any) -> Step:
    return Step(key=key, job=job, sittings=sittings, skill="hands" if sittings else None, uses=uses, **given)


def a_problem(*steps: Step, people: tuple[Person, ...] = (ASA,), **given: Any) -> Problem:
    jobs = tuple(Job(key=key, flow=1) for key in sorted({step.job for step in steps}))
    settings = {"horizon": 100, "resources": (BENCH,), **given}
    return Problem(people=people, jobs=jobs, steps=steps, **settings)


def starts(schedule: Schedule) -> dict[str, list[int]]:
    return {placed.step: [sitting.start for sitting in placed.sittings] for placed in schedule.placed}


def test_the_second_boat_waits_for_the_place_and_for_the_morning() -> None:
    # Asa works slots 0 to 8. The coat of h1 takes 6 and dries on the bench until 6 + 10 = 16; h2 has to wait until 24.
    bench = (Use(resource="bench", held=Held.READY),)
    problem = a_problem(a_step("coat", 6, dry=10, uses=bench), a_step("scrape", 2, job="h2"))
    assert starts(decode(problem, ["coat", "scrape"])) == {"coat": [0], "scrape": [24]}
    assert starts(decode(problem, ["scrape", "coat"])) == {"coat": [2], "scrape": [0]}


def test_a_coat_that_dries_on_the_rack_frees_the_bench_but_waits_for_the_rack() -> None:
    # Each is 2 slots of hands and 10 on the one rack: the second's hands end no sooner than 2 + 10 = 12, thus at 26.
    rack = (Use(resource="bench"), Use(resource="rack", held=Held.DRYING))
    problem = a_problem(
        a_step("one", 2, dry=10, uses=rack),
        a_step("two", 2, dry=10, uses=rack, job="h2"),
        resources=(BENCH, Resource(key="rack", title="Rack", capacity=1)),
    )
    placed = decode(problem, ["one", "two"]).by_step["two"]
    assert (placed.start, placed.hands_end, placed.ready) == (24, 26, 36)


def test_a_missed_window_costs_a_sanding_before_the_coat() -> None:
    # The first coat ends at 8, the window is 4 slots, the next hands are there at 24: 3 slots of sanding first.
    window = Link(before="first", after="second", since=Since.HANDS, least=0, most=4, sanding=3)
    plan = decode(a_problem(a_step("first", 8), a_step("second", 2), links=(window,)), ["second", "first"])
    assert starts(plan) == {"first": [0], "second": [24, 27]}
    assert plan.by_step["second"].sanded
    assert plan.cost.missed == Weights().missed


def test_what_comes_too_early_for_a_hard_window_is_put_off() -> None:
    # The second takes 6 and has to wait for 24; it must begin within 18 of the end of the first: at 6, not 4.
    window = Link(before="first", after="second", since=Since.HANDS, least=0, most=18)
    plan = decode(a_problem(a_step("first", 4), a_step("second", 6), links=(window,)), ["first", "second"])
    assert starts(plan) == {"first": [2], "second": [24]}


def test_a_hard_window_behind_work_under_way_that_cannot_be_kept_leaves_the_step_out_and_says_so() -> None:
    window = Link(before="first", after="second", since=Since.HANDS, least=0, most=4)
    first = a_step("first", 8, begun=(Begun(start=0, person="asa"),))
    plan = decode(a_problem(first, a_step("second", 2), links=(window,)), ["first", "second"])
    assert [str(left) for left in plan.left] == ["It would come too late after “first”, which cannot come later."]


def test_what_is_under_way_keeps_its_place_whatever_the_order() -> None:
    begun = a_step("begun", 4, 4, begun=(Begun(start=-2, person="asa"),))
    plan = decode(a_problem(begun, a_step("other", 2, job="h2")), ["other", "begun"])
    # Asa is busy until 2, then sits at what she began until 6; the bench is free then.
    assert starts(plan) == {"begun": [-2, 2], "other": [6]}


def test_what_finds_no_hours_before_the_end_is_left_out_and_what_follows_it_too() -> None:
    # Asa's two days of 8 are full with the first two.
    links = (Link(before="one", after="two"), Link(before="two", after="long"), Link(before="long", after="next"))
    steps = (a_step("one", 8), a_step("two", 8), a_step("long", 8), a_step("next", 1))
    left = {one.step: str(one) for one in list_plan(a_problem(*steps, links=links)).left}
    assert left == {
        "long": "Nobody who can do it is free for it, in hours and weather that allow it, before the plan ends.",
        "next": "It waits for “long”, which has no place in the plan.",
    }


def test_of_two_who_can_do_it_the_one_who_can_do_less_besides_sits() -> None:
    bo = Person(key="bo", name="Bo", skills=frozenset({"hands", "canvas"}), works=ASA.works)
    problem = a_problem(a_step("scrape", 2), people=(bo, ASA))
    assert decode(problem, ["scrape"]).placed[0].sittings[0].person == "asa"


def test_the_boat_that_is_promised_sooner_goes_first() -> None:
    jobs = (Job(key="h1", due=90), Job(key="h2", due=8))
    problem = Problem(
        horizon=100,
        people=(ASA,),
        resources=(BENCH,),
        jobs=jobs,
        steps=(a_step("h1 scrape", 8), a_step("h2 scrape", 8, job="h2")),
    )
    plan = list_plan(problem)
    assert starts(plan) == {"h1 scrape": [24], "h2 scrape": [0]}
    assert plan.cost.total == 0
