"""Run as a process of its own: somebody who seals one hull after the other, each time out of a can's last half litre.

`python -m tests.system.painters prepare COUNT` makes hulls and cans; `python -m tests.system.painters paint USER AT
COUNT` waits for the moment AT (seconds since 1970), seals that user's hulls, and prints what became of each.
"""

import json
import sys
import time
from decimal import Decimal

import django

APART_S = 0.15
HALF = Decimal("0.500")


def prepare(count: int) -> None:
    """Make a shop with one can of sealer for every two hulls, and it holds enough for one of them."""
    from shop.models import Pack, Product
    from stages.models import Route, RouteStage
    from stages.services.arrival import publish_route
    from stages.services.bench import start_stage
    from tests.factories import a_crew_member, a_hull, a_shop, hand
    from tests.shelves import a_month_ago, take_in

    a_shop()
    route = Route.objects.create(name="Seal only")
    RouteStage.objects.create(
        route=route, key="seal", name="Seal", coats=1, product_kind="sealer", surface="inside", position=1
    )
    RouteStage.objects.create(route=route, key="gone", name="Hand over", gates=["hand_over"], position=2)
    publish_route(route=route)
    for number in range(count):
        sealer = Product.objects.create(name=f"Sealer {number}", kind="sealer", family="water", recoat_h=2.0)
        pack = Pack.objects.create(product=sealer, called="half a litre", amount=HALF)
        take_in(pack, 1, a_month_ago())
    for username in ("ada", "ben"):
        a_crew_member(username)
        for number in range(count):
            hull = a_hull(f"{username}-{number}")
            assert start_stage(hull_id=hull.pk, stage="seal", hand=hand()).done


def paint(username: str, at: float, count: int) -> list[dict[str, object]]:
    """Seal every hull of this user's, each at its moment."""
    from hulls.models import Hull
    from shop.models import CrewMember, Product, Zone
    from stages.services.bench import apply_coat
    from tests.factories import hand

    me, zone = CrewMember.objects.get(username=username), Zone.objects.get(name="Indoors").pk
    pairs = [(Hull.objects.get(tag=f"{username}-{n}"), Product.objects.get(name=f"Sealer {n}")) for n in range(count)]
    told = []
    for number, (hull, sealer) in enumerate(pairs):
        time.sleep(max(0.0, at + APART_S * number - time.time()))
        outcome = apply_coat(
            hull_id=hull.pk, stage="seal", product=sealer.pk, surface="inside", zone=zone, litres=0.5, hand=hand(me)
        )
        told.append({"done": outcome.done, "rules": [f.rule for f in outcome.findings if f.refuses]})
    return told


if __name__ == "__main__":
    django.setup()
    match sys.argv[1:]:
        case ["prepare", count]:
            prepare(int(count))
        case ["paint", username, at, count]:
            print(json.dumps(paint(username, float(at), int(count))))
