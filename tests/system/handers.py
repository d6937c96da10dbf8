"""Run as a process of its own: two people hand the same boats over at once.

`python -m tests.system.handers COUNT` makes boats that are ready to go. Both hand one after the other over, under the
same number as the other one has where the boat's is even, and under another one where it is odd.
"""

from uuid import UUID, uuid4

from tests.system.script import Together, play


def prepare(count: int) -> None:
    """Make a shop that asks for no photos, with boats on which nothing is left to do but their hand-over."""
    from shop.models import Shop, Station
    from tests.factories import a_crew_member, a_shop
    from tests.stages.handing_over import a_finished_boat

    a_shop()
    Shop.objects.update(final_views=[])
    Station.objects.update(places=count)
    for username in ("ada", "ben"):
        a_crew_member(username)
    for number in range(count):
        a_finished_boat(f"H-{number}")


def go(username: str, count: int, together: Together) -> list[dict[str, object]]:
    """Hand every boat over, each at its moment."""
    from django.db import connection

    from hulls.models import Hull
    from shop.models import CrewMember
    from tests.stages.handing_over import goes_home

    me = CrewMember.objects.get(username=username)
    hulls = [Hull.objects.get(tag=f"H-{number}") for number in range(count)]
    connection.ensure_connection()
    told: list[dict[str, object]] = []
    for number, hull in enumerate(together.in_turn(hulls)):
        client_id = uuid4() if number % 2 else UUID(int=number + 1)
        outcome = goes_home(hull, by=me, client_id=client_id, to=username)
        new = outcome.done and not outcome.repeated
        other = outcome.repeated or bool(outcome.already and outcome.already.by != me)
        told.append({"new": new, "other": other})
    return told


def left() -> tuple[int, int]:
    """How many boats have a finish record, and how many lines the log has of their hand-over."""
    from hulls.models import FinishRecord
    from stages.models import Entry

    return FinishRecord.objects.count(), Entry.objects.filter(stage="hand_over").count()


if __name__ == "__main__":
    play(prepare=prepare, act=go, left=left)
