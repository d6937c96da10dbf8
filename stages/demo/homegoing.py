"""How a boat of the demo shop goes home: photographed, talked through, signed for. The signature is invented."""

import math
import random
from dataclasses import replace
from uuid import uuid5

from hulls.models import Hull
from hulls.signature import HEIGHT, WIDTH
from shop.models import Shop, View
from stages.demo.pictures import hang, paint
from stages.finish.care import care_of_work
from stages.models import HullWork
from stages.queries.final_photos import wanted_views
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services.hand_over import Receipt, hand_over
from stages.services.orders import Hand, Outcome

GOODS = ("Two ash paddles", "Seat pad, oiled canvas", "Bow line and its brass ring")
LOOPS, POINTS = 6, 150


def photograph(hull: Hull, hand: Hand, *, old: bool, stage: str) -> None:
    """Take a photo of each side that the shop wants, as the boat came or as it leaves; all are painted."""
    for view in wanted_views(Shop.the_one()):
        is_wood, dice = view in (View.INSIDE, View.DECKS), random.Random(f"{hull.tag} {view} {old}")
        painted = paint("ribs" if is_wood else "side", hull.old_colour if old else hull.colour, dice)
        own = replace(hand, client_id=uuid5(hand.client_id, f"{view} {old}"))
        hang(painted, hull, own, stage=stage, view=view.value)


def go_home(hull: Hull, hand: Hand, hours: float | None) -> Outcome:
    """Hand a boat over, with everything that the page of a hand-over asks for."""
    row = HullWork.objects.select_related("hull__owner", "route").get(hull=hull)
    photograph(hull, replace(hand, at=row.arrived_at or hand.at), old=True, stage="survey")
    photograph(hull, hand, old=False, stage="final")
    work = in_work([row], around().world)[0].work
    receipt = Receipt(
        to=row.hull.owner.name, care=care_of_work(work), goods=GOODS, signature=scrawl(random.Random(row.hull.tag))
    )
    return hand_over(hull_id=hull.pk, receipt=receipt, hand=hand, hours=hours)


def scrawl(dice: random.Random) -> str:
    """Strokes that look like a name in a hurry, and a line below it."""
    loops = []
    for n in range(POINTS):
        share = n / POINTS
        turn = share * LOOPS * math.tau
        high = 80 * (1 - 0.55 * share) * (1 + 0.25 * math.sin(7 * share + dice.uniform(-0.05, 0.05)))
        x, y = 130 + 680 * share + 46 * math.cos(turn), 170 - high * math.sin(turn) - 30 * share
        loops.append((x, y))
    line = [(150 + 11 * n, 292 - 9 * math.sin(n / 9) - 0.6 * n) for n in range(62)]
    return ";".join(" ".join(_point(x, y) for x, y in stroke) for stroke in (loops, line))


def _point(x: float, y: float) -> str:
    return f"{min(WIDTH, max(0, round(x)))},{min(HEIGHT, max(0, round(y)))}"
