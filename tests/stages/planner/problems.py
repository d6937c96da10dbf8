"""Random planning problems: small ones for the brute force, larger ones for whether every plan holds."""

from hypothesis import strategies as st

from stages.planner.problem import (
    Begun,
    Held,
    Hold,
    Job,
    Kept,
    Link,
    Person,
    Problem,
    Resource,
    Since,
    Step,
    Use,
    Weights,
)
from stages.planner.timegrid import Spans

SKILLS = ("wood", "finish")


@st.composite
def spans(draw: st.DrawFn, horizon: int, *, least: int = 1, most: int = 6) -> Spans:
    """Spans one after the other within the horizon."""
    cuts = draw(st.lists(st.integers(0, horizon), min_size=2 * least, max_size=2 * most, unique=True))
    cuts = sorted(cuts)[: len(cuts) // 2 * 2]
    return tuple(zip(cuts[::2], cuts[1::2], strict=True))


@st.composite
def people(draw: st.DrawFn, horizon: int, most: int) -> tuple[Person, ...]:
    """One person or more, each with a calendar and a skill or two."""
    return tuple(
        Person(
            key=f"p{number}",
            name=f"Person {number}",
            skills=draw(st.frozensets(st.sampled_from(SKILLS), min_size=1)),
            works=draw(spans(horizon)),
        )
        for number in range(draw(st.integers(1, most)))
    )


@st.composite
def a_step(draw: st.DrawFn, number: int, jobs: int, resources: tuple[Resource, ...], facts: bool) -> Step:
    """One step."""
    uses = [
        Use(
            resource=resource.key,
            amount=draw(st.integers(1, max(1, resource.capacity))),
            held=draw(st.sampled_from(Held)),
        )
        for resource in resources
        if draw(st.booleans())
    ]
    sittings = tuple(draw(st.lists(st.integers(1, 3), max_size=2)))
    under_way = facts and draw(st.integers(0, 5)) == 0
    return Step(
        key=f"s{number}",
        job=f"b{draw(st.integers(0, jobs - 1))}",
        title=f"step {number}",
        sittings=sittings,
        skill=draw(st.sampled_from((*SKILLS, None))),
        uses=tuple(uses),
        dry=draw(st.integers(0, 4)),
        weather=draw(st.sampled_from((None, None, "dry"))),
        holds=(Hold(until=draw(st.integers(0, 6)), why="stores"),) if draw(st.booleans()) else (),
        begun=(Begun(start=-draw(st.integers(0, 2))),) if under_way and sittings else (),
        since=-3 if under_way else None,
    )


@st.composite
def a_link(draw: st.DrawFn, before: int, after: int, *, hard: bool) -> Link:
    """One link forward."""
    least = draw(st.integers(0, 3))
    window = draw(st.integers(0, 4)) == 0
    soft = not hard or draw(st.booleans())
    return Link(
        before=f"s{before}",
        after=f"s{after}",
        since=draw(st.sampled_from(Since)),
        least=least,
        most=least + draw(st.integers(0, 6)) if window else None,
        sanding=draw(st.integers(1, 2)) if window and soft else None,
    )


@st.composite
def problems(
    draw: st.DrawFn, *, steps: int = 8, horizon: int = 120, hands: int = 3, facts: bool = True, hard: bool = False
) -> Problem:
    """A problem of at most so many steps and people; mostly it can be met, and sometimes not."""
    resources = tuple(
        Resource(key=f"r{number}", title=f"Place {number}", capacity=draw(st.integers(1, 2)))
        for number in range(draw(st.integers(0, 2)))
    )
    jobs = draw(st.integers(1, 3))
    count = draw(st.integers(1, steps))
    pairs = [(a, b) for b in range(count) for a in range(b)]
    linked = draw(st.lists(st.sampled_from(pairs), unique=True, max_size=2 * count)) if pairs else []
    kept = draw(st.booleans())
    return Problem(
        horizon=horizon,
        people=draw(people(horizon, hands)),
        resources=resources,
        jobs=tuple(
            Job(
                key=f"b{number}",
                due=draw(st.one_of(st.none(), st.integers(-5, horizon))),
                weight=draw(st.integers(0, 3)),
                flow=draw(st.integers(0, 1)),
            )
            for number in range(jobs)
        ),
        steps=tuple(draw(a_step(number, jobs, resources, facts)) for number in range(count)),
        links=tuple(draw(a_link(a, b, hard=hard)) for a, b in linked),
        weather={"dry": draw(spans(horizon))},
        kept=(Kept(step="s0", number=1, start=draw(st.integers(0, horizon))),) if kept else (),
        weights=Weights(
            missed=draw(st.integers(0, 5)), makespan=draw(st.integers(0, 2)), shuffle=draw(st.integers(0, 2))
        ),
    )
