"""From when on a coat's product is there, where the stores do not hold enough for all coats before it and this."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date, time, timedelta

from django.db.models import Min

from shop.models import Pack
from stages.engine.world import World
from stages.planner.problem import Hold
from stages.queries.covered import cover
from stages.queries.planned import PlannedNeed
from stages.queries.planning.grid import Grid

NOON = time(12)  # what comes on a day is there by noon, as the rule on stores has it
USUAL_LEAD_DAYS = 7  # of what nobody is known to sell
Coats = tuple[str, str, int]  # tag, key of the stage, number of the coat


def lead_days() -> dict[int, int]:
    """By product, the fewest days from order to door, in one query."""
    sold = Pack.objects.filter(active=True, supplier__isnull=False).order_by()
    return dict(sold.values_list("product").annotate(least=Min("supplier__lead_days")))


def holds_for_stores(
    coats: Iterable[tuple[Coats, PlannedNeed]], world: World, leads: Mapping[int, int], grid: Grid
) -> dict[Coats, Hold]:
    """By coat, until when it waits for what is on order, or for what must be ordered first.

    Parameters
    ----------
    coats : iterable of pairs
        Each coat that is to come and what it takes, of any product.
    world : World
        What the stores hold; of products that are not kept there nothing is said.
    leads : mapping of int to int
        By product, days from order to door.
    grid : Grid
        The problem's.
    """
    by_product: dict[int, list[tuple[Coats, PlannedNeed]]] = defaultdict(list)
    for coat, need in coats:
        if need.product in world.stores:
            by_product[need.product].append((coat, need))
    return {coat: hold for pk, found in by_product.items() for coat, hold in _of_product(pk, found, world, leads, grid)}


def _of_product(
    product: int, found: list[tuple[Coats, PlannedNeed]], world: World, leads: Mapping[int, int], grid: Grid
) -> Iterable[tuple[Coats, Hold]]:
    found = sorted(found, key=lambda one: (one[1].on, one[0]))
    covered = cover([need for _, need in found], world.stores[product], grid.today)
    here: dict[int, date] = {id(need): late.coming.on for late in covered.late for need in late.needs}
    if covered.short:
        ordered = grid.today + timedelta(days=max(1, leads.get(product, USUAL_LEAD_DAYS)))
        here |= {id(need): max(ordered, here.get(id(need), ordered)) for need in covered.short.needs}
    name = world.products[product].name
    for coat, need in found:
        if id(need) in here:
            day = max(here[id(need)], grid.today + timedelta(days=here[id(need)] < grid.today))
            yield coat, Hold(until=max(0, grid.after(grid.clock(day, NOON))), why="stores", words=name)
