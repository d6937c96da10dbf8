"""Run as a process of its own: two people move a hull each to one of COUNT stations with one place each."""

from tests.system.script import Together, play


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


def move(username: str, count: int, together: Together) -> list[dict[str, object]]:
    """Move every hull of this user's to its rail, each at its moment."""
    from hulls.models import Hull
    from shop.models import CrewMember, Station
    from stages.services.notes import move_hull
    from tests.factories import hand

    me = CrewMember.objects.get(username=username)
    pairs = [(Hull.objects.get(tag=f"{username}-{n}"), Station.objects.get(name=f"Rail {n}")) for n in range(count)]
    told = []
    for hull, rail in together.in_turn(pairs):
        outcome = move_hull(hull_id=hull.pk, station=rail.pk, hand=hand(me))
        told.append({"done": outcome.done, "rules": [f.rule for f in outcome.findings if f.refuses]})
    return told


def left() -> list[int]:
    """How many hulls stand at each of those stations."""
    from stages.models import HullWork

    at = HullWork.objects.filter(station__name__startswith="Rail ").values_list("station", flat=True)
    return sorted(list(at).count(station) for station in set(at))


if __name__ == "__main__":
    play(prepare=prepare, act=move, left=left)
