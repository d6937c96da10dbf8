"""Run as a process of its own: somebody who moves one hull after the other to stations with one place each.

`python -m tests.system.movers prepare COUNT` makes hulls and stations; `python -m tests.system.movers move USER AT
COUNT` waits for the moment AT (seconds since 1970), moves that user's hulls, and prints what became of each.
"""

from tests.system.script import in_turn, obey


def prepare(count: int) -> None:
    """Make a shop with two hulls for each station that has one place."""
    from shop.models import Station
    from tests.factories import a_crew_member, a_hull, a_shop, station

    a_shop()
    for number in range(count):
        Station.objects.create(name=f"Rail {number}", kind="wood", zone=station("wood").zone, places=1)
    for username in ("ada", "ben"):
        a_crew_member(username)
        for number in range(count):
            a_hull(f"{username}-{number}")


def move(username: str, at: float, count: int) -> list[dict[str, object]]:
    """Move every hull of this user's to its rail, each at its moment."""
    from hulls.models import Hull
    from shop.models import CrewMember, Station
    from stages.services.notes import move_hull
    from tests.factories import hand

    me = CrewMember.objects.get(username=username)
    pairs = [(Hull.objects.get(tag=f"{username}-{n}"), Station.objects.get(name=f"Rail {n}")) for n in range(count)]
    told = []
    for hull, rail in in_turn(pairs, at):
        outcome = move_hull(hull_id=hull.pk, station=rail.pk, hand=hand(me))
        told.append({"done": outcome.done, "rules": [f.rule for f in outcome.findings if f.refuses]})
    return told


if __name__ == "__main__":
    obey(prepare, move=move)
