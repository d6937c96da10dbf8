"""What cannot be placed is taken out with its reason, and the rest stays."""

from dataclasses import replace

from stages.planner.problem import Job, Link, Person, Problem, Resource, Since, Step, Use
from stages.planner.screen import screen

ANN = Person(key="ann", name="Ann", skills=frozenset({"wood"}), works=((0, 8), (20, 28)))


def a_problem(*steps: Step, links: tuple[Link, ...] = (), people: tuple[Person, ...] = (ANN,)) -> Problem:
    """A problem of one boat in one bench."""
    return Problem(
        horizon=100,
        people=people,
        resources=(Resource(key="bench", title="Wood bench", capacity=1), Resource(key="rig", title="Rig", capacity=0)),
        jobs=(Job(key="H-1"),),
        steps=steps,
        links=links,
        weather={"dry": ((30, 40),)},
    )


def a_step(
    key: str, *sittings: int, skill: str | None = "wood", resource: str = "", weather: str | None = None
) -> Step:
    """A step of hands."""
    uses = (Use(resource=resource),) if resource else ()
    return Step(key=key, job="H-1", title=key.title(), sittings=sittings, skill=skill, uses=uses, weather=weather)


def whys(problem: Problem) -> dict[str, str]:
    """The steps that are left out, with the sentence."""
    screened = screen(problem)
    kept = {step.key for step in screened.problem.steps}
    assert kept.isdisjoint(left.step for left in screened.left)
    return {left.step: str(left) for left in screened.left}


def test_a_problem_that_can_be_placed_is_left_alone() -> None:
    problem = a_problem(a_step("ribs", 4), a_step("fair", 8), links=(Link(before="ribs", after="fair"),))
    assert screen(problem).problem is problem
    assert screen(problem).left == ()


def test_work_that_nobody_can_do_is_left_out_with_all_that_waits_for_it() -> None:
    links = (Link(before="paint", after="fair"), Link(before="fair", after="seats"))
    found = whys(a_problem(a_step("paint", 4, skill="finish"), a_step("fair", 4), a_step("seats", 1), links=links))
    assert found == {
        "paint": "Nobody here can do “finish”.",
        "fair": "Waits for Paint (H-1), which cannot be placed.",
        "seats": "Waits for Fair (H-1), which cannot be placed.",
    }


def test_people_without_hours_and_days_that_are_too_short_are_named() -> None:
    idle = replace(ANN, works=())
    assert whys(a_problem(a_step("ribs", 4), people=(idle,))) == {
        "ribs": "Nobody who can do “wood” has hours in the calendar."
    }
    assert whys(a_problem(a_step("ribs", 9))) == {"ribs": "A sitting of 2.25 hours fits into nobody's day."}
    assert whys(a_problem(a_step("ribs", 8))) == {}


def test_a_kind_of_station_without_places_is_named() -> None:
    assert whys(a_problem(a_step("canvas", 4, resource="rig"))) == {"canvas": "“Rig” has 0 places; this needs 1."}


def test_weather_that_is_never_long_enough_is_named() -> None:
    assert whys(a_problem(a_step("airing", 10, skill=None, weather="dry"))) == {}
    assert whys(a_problem(a_step("airing", 11, skill=None, weather="dry"))) == {
        "airing": "No dry weather long enough for it is in sight."
    }


def test_a_ring_is_left_out_and_what_leads_to_it_stays() -> None:
    links = (
        Link(before="wash", after="ribs"),
        Link(before="ribs", after="fair"),
        Link(before="fair", after="ribs"),
        Link(before="fair", after="oil"),
    )
    found = whys(a_problem(*(a_step(key, 1) for key in ("wash", "ribs", "fair", "oil")), links=links))
    assert found == {
        "ribs": "Waits for itself, by way of Fair (H-1), Ribs (H-1).",
        "fair": "Waits for itself, by way of Fair (H-1), Ribs (H-1).",
        "oil": "Waits for Fair (H-1), which cannot be placed.",
    }


def test_a_hard_window_that_the_work_between_outlasts_is_left_out() -> None:
    def between(most: int) -> Problem:
        links = (
            Link(before="oil", after="sand", since=Since.HANDS),
            Link(before="sand", after="enamel", since=Since.HANDS),
            Link(before="oil", after="enamel", since=Since.START, least=None, most=most),
        )
        return a_problem(a_step("oil", 2), a_step("sand", 3), a_step("enamel", 1), links=links)

    assert whys(between(5)) == {}  # 2 + 3 slots lie between the two starts
    assert whys(between(4)) == {"enamel": "Must come too soon after Oil (H-1): what lies between takes longer."}


def test_a_soft_window_never_leaves_anything_out() -> None:
    links = (
        Link(before="oil", after="enamel", least=5, most=5, sanding=1),
        Link(before="oil", after="enamel", least=9),
    )
    assert whys(a_problem(a_step("oil", 2), a_step("enamel", 1), links=links)) == {}
