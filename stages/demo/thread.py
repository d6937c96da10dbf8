"""What owners of the demo shop's boats and the shop wrote to each other, and a colour that is asked for. Invented."""

from datetime import timedelta
from typing import TYPE_CHECKING
from uuid import NAMESPACE_URL, uuid5

from hulls.colour_names import PALETTE
from hulls.models import Hull
from stages.letters.wanted import ready_to_leave
from stages.models import HullWork
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services.colours import Offer, ask_colour
from stages.services.links import renew_link
from stages.services.orders import Guest
from stages.services.thread import Written, answer_owner, ask_shop

if TYPE_CHECKING:
    from datetime import datetime

    from stages.demo.driver import Driver

ASKS = (  # tag, how long ago, in hours, who writes, what
    ("H-097", 52.0, "owner", "The photo of the ribs is wonderful. Are they cedar as well?"),
    ("H-097", 47.0, "shop", "Yes: white cedar, like the old ones, and clenched with brass tacks."),
    ("H-097", 1.5, "owner", "May I come and see her before the last coat? Any morning would do."),
    ("H-112", 30.0, "owner", "Gardez-vous l’ancienne plaque de l’étrave\N{NO-BREAK SPACE}? J’y tiens."),
    ("H-112", 26.0, "shop", "Oui, elle est dans une boîte à votre nom. Nous la reposons à la fin."),
)
CHOOSES = "H-112"
OFFERED = ("lake blue", "bark brown", "old cream")


def write_to_each_other(driver: "Driver") -> None:
    """Let owners ask and the shop answer; one question waits and one colour; boats to be fetched have a link."""
    for tag, hours, who, words in ASKS:
        at, hull = driver.now - timedelta(hours=hours), driver.hulls[tag]
        if who == "owner":
            heard = ask_shop(hull_id=hull.pk, written=Written(words=words), guest=_guest(hull, at))
        else:
            heard = answer_owner(hull_id=hull.pk, written=Written(words=words), hand=driver.hand(at))
        assert heard.remark is not None
    known = dict(PALETTE)
    ask_colour(
        hull_id=driver.hulls[CHOOSES].pk,
        offers=[Offer(name=name, colour=known[name]) for name in OFFERED],
        open_to_words=True,
        hand=driver.hand(driver.now - timedelta(hours=3)),
    )
    rows = HullWork.objects.filter(handed_over_at=None).select_related("hull", "route")
    for item in in_work(rows, around().world):
        if ready_to_leave(item.work):
            renew_link(hull_id=item.row.pk, hand=driver.hand(driver.now - timedelta(minutes=30)))


def _guest(hull: Hull, at: "datetime") -> Guest:
    return Guest(at=at, client_id=uuid5(NAMESPACE_URL, f"{hull.tag} {at}"), recorded_at=at)
