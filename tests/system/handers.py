"""Run as a process of its own: somebody who hands boats over at given moments.

`python -m tests.system.handers prepare COUNT` makes boats that are ready to go; `python -m tests.system.handers go USER
AT COUNT` waits for the moment AT (seconds since 1970) and hands one after the other over, under the same number
as the other one has where the boat's is even, and under another one where it is odd. It prints what became of each.
"""

from uuid import UUID, uuid4

from tests.system.script import in_turn, obey


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


def go(username: str, at: float, count: int) -> list[dict[str, object]]:
    """Hand every boat over, each at its moment."""
    from django.db import connection

    from hulls.models import Hull
    from shop.models import CrewMember
    from tests.stages.handing_over import goes_home

    me = CrewMember.objects.get(username=username)
    hulls = [Hull.objects.get(tag=f"H-{number}") for number in range(count)]
    connection.ensure_connection()
    told: list[dict[str, object]] = []
    for number, hull in enumerate(in_turn(hulls, at, 0.3)):
        client_id = uuid4() if number % 2 else UUID(int=number + 1)
        outcome = goes_home(hull, by=me, client_id=client_id, to=username)
        new = outcome.done and not outcome.repeated
        other = outcome.repeated or bool(outcome.already and outcome.already.by != me)
        told.append({"new": new, "other": other})
    return told


if __name__ == "__main__":
    obey(prepare, go=go)
