"""Run as a process of its own: two people oil a hull each out of a can's last half litre, out of COUNT cans."""

from decimal import Decimal

from tests.system.script import Together, play

HALF = Decimal("0.500")


def prepare(count: int) -> None:
    """Make a shop with one can of oil for every two hulls, and it holds enough for one of them."""
    from shop.models import Pack, Product
    from stages.models import Route, RouteStage
    from stages.services.arrival import publish_route
    from stages.services.bench import sand, start_stage
    from stages.services.notes import record_lead_test
    from tests.factories import a_crew_member, a_hull, a_shop, hand
    from tests.shelves import a_month_ago, take_in

    a_shop()
    route = Route.objects.create(name="Oil only")
    RouteStage.objects.create(
        route=route, key="oil", name="Oil", coats=1, product_kind="oil", surface="planking", position=1
    )
    RouteStage.objects.create(route=route, key="gone", name="Hand over", gates=["hand_over"], position=2)
    publish_route(route=route)
    for number in range(count):
        oil = Product.objects.create(name=f"Oil {number}", kind="oil", family="oxidative", recoat_h=24.0)
        pack = Pack.objects.create(product=oil, called="half a litre", amount=HALF)
        take_in(pack, 1, a_month_ago())
    for username in ("ada", "ben"):
        a_crew_member(username)
        for number in range(count):
            hull = a_hull(f"{username}-{number}")
            assert start_stage(hull_id=hull.pk, stage="oil", hand=hand()).done
            assert record_lead_test(hull_id=hull.pk, positive=False, hand=hand()).done
            assert sand(hull_id=hull.pk, surface="planking", grit=120, wet_method=True, hand=hand()).done


def paint(username: str, count: int, together: Together) -> list[dict[str, object]]:
    """Oil every hull of this user's, each at its moment."""
    from hulls.models import Hull
    from shop.models import CrewMember, Product, Zone
    from stages.services.bench import apply_coat
    from tests.factories import hand

    me, zone = CrewMember.objects.get(username=username), Zone.objects.get(name="Indoors").pk
    pairs = [(Hull.objects.get(tag=f"{username}-{n}"), Product.objects.get(name=f"Oil {n}")) for n in range(count)]
    told = []
    for hull, oil in together.in_turn(pairs):
        outcome = apply_coat(
            hull_id=hull.pk, stage="oil", product=oil.pk, surface="planking", zone=zone, litres=0.5, hand=hand(me)
        )
        told.append({"done": outcome.done, "rules": [f.rule for f in outcome.findings if f.refuses]})
    return told


def left() -> tuple[list[str], int]:
    """What the cans hold, each amount once, and how many coats are on record."""
    from shop.models import Lot
    from stages.models import Entry

    return sorted({str(lot.holds) for lot in Lot.objects.all()}), Entry.objects.filter(kind="coat").count()


if __name__ == "__main__":
    play(prepare=prepare, act=paint, left=left)
