"""What is still needed for a hull: the take-off of the steps that are not finished yet."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from hulls.models import Hull
from hulls.queries.takeoff import hull_take_off
from shop.units import UnitSystem
from stages.advice.work import work_of_steps
from stages.engine.route import StageSpec
from stages.engine.vocab import Gate
from stages.engine.work import Work
from stages.queries.sheet import AtHand
from stages.queries.supplies_needs import Needs, needs_of


@dataclass(frozen=True, slots=True, kw_only=True)
class HullSupplies:
    """What the page shows: the hull, what it still needs, and whether the survey that counts its wood is done."""

    hull: Hull
    needs: Needs
    surveyed: bool


def hull_supplies(at_hand: AtHand, *, prices: bool) -> HullSupplies:
    """Say what a hull still needs, in two queries beyond the hull's own.

    Parameters
    ----------
    at_hand : AtHand
        The hull and the shop around it.
    prices : bool
        Show what the packs cost.
    """
    work, shop = at_hand.work, at_hand.setup.shop
    steps = tuple(still_to_do(work))
    counted = {spec.counted for spec in steps}
    counts = {damage: count for damage, count in work.state.counts.items() if damage in counted}
    found = hull_take_off(at_hand.hull, work_of_steps(steps, counts))
    return HullSupplies(
        hull=at_hand.hull,
        needs=needs_of(found, UnitSystem(shop.units), shop.currency if prices else None),
        surveyed=not any(Gate.SURVEY in spec.gates for spec in steps),
    )


def still_to_do(work: Work) -> Iterator[StageSpec]:
    """Give the steps that are in the plan and not finished, each with the coats that are not on yet."""
    for spec in work.route.stages:
        if work.open(spec):
            yield replace(spec, coats=max(0, spec.coats - work.state.stage(spec.key).coats_on))
