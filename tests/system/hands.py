"""Run as a process of its own: two people finish the same step at once, on one of COUNT hulls after the other."""

from tests.system.script import Together, play

STEP = "survey"


def prepare(count: int) -> None:
    """Make a shop with hulls whose survey is on the bench, and two crew members."""
    from stages.services.bench import start_stage
    from tests.factories import a_crew_member, a_hull, a_shop, hand

    a_shop()
    for username in ("ada", "ben"):
        a_crew_member(username)
    for number in range(count):
        hull = a_hull(f"H-{number}")
        assert start_stage(hull_id=hull.pk, stage=STEP, hand=hand()).done


def finish(username: str, count: int, together: Together) -> list[dict[str, object]]:
    """Finish the survey of every hull, each at its moment."""
    from django.db import connection

    from hulls.models import Hull
    from shop.models import CrewMember
    from stages.services.bench import finish_stage
    from tests.factories import hand

    me = CrewMember.objects.get(username=username)
    hulls = [Hull.objects.get(tag=f"H-{number}") for number in range(count)]
    connection.ensure_connection()
    told: list[dict[str, object]] = []
    for hull in together.in_turn(hulls):
        outcome = finish_stage(hull_id=hull.pk, stage=STEP, hand=hand(me))
        told.append(
            {
                "done": outcome.done,
                "repeated": outcome.repeated,
                "by": outcome.already.by.username if outcome.already and outcome.already.by else None,
            }
        )
    return told


def left() -> int:
    """How often a step was finished by the log."""
    from stages.models import Entry

    return Entry.objects.filter(kind="finished").count()


if __name__ == "__main__":
    play(prepare=prepare, act=finish, left=left)
