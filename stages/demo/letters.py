"""Letters of the demo shop: written, shown in the out-tray, and never sent."""

from datetime import timedelta
from typing import TYPE_CHECKING
from uuid import NAMESPACE_URL, uuid5

from hulls.models import ProgressLink, Wish
from stages.demo.money import FOUND_AT, NOT_ANSWERED
from stages.demo.payments import STILL_OWES
from stages.engine.log import EntryKind, in_force
from stages.models import HullWork
from stages.queries.work import in_work, log_of
from stages.queries.world import around
from stages.services.links import renew_link
from stages.services.messages import tell_owner
from stages.services.orders import Hand

if TYPE_CHECKING:
    from stages.demo.driver import Driver

LINKED_AT = timedelta(minutes=25)


def write_to_owners(driver: "Driver") -> None:
    """Give the owners who are about to be asked, or to fetch their boat, a link."""
    for tag in (NOT_ANSWERED, *FOUND_AT, STILL_OWES):
        at = driver.now - LINKED_AT
        hand = Hand(by=driver.crew[0], at=at, client_id=uuid5(NAMESPACE_URL, f"link of {tag}"), recorded_at=at)
        renew_link(hull_id=driver.hulls[tag].pk, hand=hand)


def tell_latest(driver: "Driver", tag: str) -> None:
    """Let an owner who hears of every step and gets the week's letter hear of the latest step."""
    hull = driver.hulls[tag]
    ProgressLink.objects.filter(hull=hull, withdrawn_at=None).update(wish=Wish.EVERY, weekly=True)
    work = in_work([HullWork.objects.select_related("hull", "route").get(hull=hull)], around().world)[0].work
    finished = [entry for entry in in_force(log_of(hull.pk)) if entry.kind is EntryKind.FINISHED]
    for entry in finished[-1:]:
        tell_owner(hull_id=hull.pk, entry=entry, work=work)
