"""What a boat needs and how much of it, from its area, its plan of work and the products: pure, SI units inside."""

from hulls.takeoff.coats import coat_amount
from hulls.takeoff.cover import cover
from hulls.takeoff.duck import duck_kg_m2
from hulls.takeoff.errors import TakeOffError
from hulls.takeoff.items import Canvas, Cloth, Item, PackCount, TakeOff
from hulls.takeoff.many import ManyTakeOffs, take_off_many
from hulls.takeoff.material import Material, Pack
from hulls.takeoff.packs import choose_packs
from hulls.takeoff.period import Bought, Need, Opened, PackChoice
from hulls.takeoff.practice import USUAL, Practice
from hulls.takeoff.take_off import take_off
from hulls.takeoff.terms import How, Term, worth
from hulls.takeoff.work import USUAL_WORK, Coats, Work

__all__ = [
    "USUAL",
    "USUAL_WORK",
    "Bought",
    "Canvas",
    "Cloth",
    "Coats",
    "How",
    "Item",
    "ManyTakeOffs",
    "Material",
    "Need",
    "Opened",
    "Pack",
    "PackChoice",
    "PackCount",
    "Practice",
    "TakeOff",
    "TakeOffError",
    "Term",
    "Work",
    "choose_packs",
    "coat_amount",
    "cover",
    "duck_kg_m2",
    "take_off",
    "take_off_many",
    "worth",
]
