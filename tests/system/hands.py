"""Run as a process of its own: a pair of hands at the bench that finishes the same steps as somebody else, at once.

`python -m tests.system.hands prepare COUNT` makes the hulls; `python -m tests.system.hands finish USER AT COUNT` waits
for the moment AT (seconds since 1970), finishes one step after the other, and prints what became of each.
"""

from tests.system.script import in_turn, obey

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


def finish(username: str, at: float, count: int) -> list[dict[str, object]]:
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
    for hull in in_turn(hulls, at):
        outcome = finish_stage(hull_id=hull.pk, stage=STEP, hand=hand(me))
        told.append(
            {
                "done": outcome.done,
                "repeated": outcome.repeated,
                "by": outcome.already.by.username if outcome.already and outcome.already.by else None,
            }
        )
    return told


if __name__ == "__main__":
    obey(prepare, finish=finish)
