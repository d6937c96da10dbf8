"""Who can sit at what and when, as the planner reads it."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from shop.models import CrewMember, Skill
from shop.working_hours import Calendars, days_from
from stages.planner.problem import Person
from stages.planner.timegrid import Spans
from stages.queries.planning.grid import Grid

ANYBODY = "work on boats"  # what everybody can do


@dataclass(frozen=True, slots=True, kw_only=True)
class Skills:
    """The shop's skills by number, and by person what they can do."""

    names: Mapping[int, str]
    of: Mapping[int, frozenset[str]]

    @classmethod
    def of_people(cls, people: tuple[CrewMember, ...]) -> "Skills":
        """Read them, in two queries; a skill that nobody is named for is everybody's."""
        names: dict[int, str] = {}
        can: dict[int, set[str]] = defaultdict(lambda: {ANYBODY})
        for skill in Skill.objects.prefetch_related("people"):
            names[skill.pk] = skill.name
            named = {person.pk for person in skill.people.all()}
            for person in people:
                if not named or person.pk in named:
                    can[person.pk].add(skill.name)
        return cls(names=names, of={person.pk: frozenset(can[person.pk]) for person in people})

    def name(self, number: int | None) -> str:
        """What a step asks for."""
        return self.names.get(number, ANYBODY) if number is not None else ANYBODY


def key_of(person: int) -> str:
    """A person's key in the problem."""
    return f"p{person}"


def planned_people(calendars: Calendars, skills: Skills, grid: Grid, days: int) -> tuple[Person, ...]:
    """Everybody who works on boats, with their hours over so many days."""
    return tuple(
        Person(
            key=key_of(person.pk),
            name=person.called,
            skills=skills.of[person.pk],
            works=works(calendars, person.pk, grid, days),
        )
        for person in calendars.people
    )


def works(calendars: Calendars, person: int, grid: Grid, days: int) -> Spans:
    """The slots in which somebody works, over so many days from today."""
    hours = (
        grid.span(day, since, until)
        for day in days_from(grid.today, days)
        for since, until in calendars.hours_on(person, day)
    )
    return tuple(span for span in hours if span)
