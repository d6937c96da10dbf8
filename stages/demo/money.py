"""Money of the demo shop: what it charges, what owners agreed to, one find that waits for an answer. Invented."""

from datetime import datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from hulls.models import Estimate, Hull
from shop.models import Pack, Shop, Tax
from stages.models import Entry
from stages.queries.estimate_asked import Asked
from stages.services import notes
from stages.services.answers import Reply, answer_estimate
from stages.services.change_orders import Change, raise_change_order
from stages.services.estimates import prepare_estimate, send_estimate
from stages.services.orders import Guest, Hand

if TYPE_CHECKING:
    from stages.demo.driver import Driver

CHARGES: dict[str, Any] = {
    "currency": "CAD",
    "hourly_rate": Decimal("68"),
    "markup_pct": Decimal("20"),
    "deposit_pct": Decimal("30"),
    "hour_cost": Decimal("41"),
    "how_to_pay": "By transfer to account 000-1234567 of Alder Landing Canoe Works; write the boat's tag beside it.",
    "estimate_terms": "The deposit books your place; the rest is due when the boat is ready. Ask us anything.",
}
PER_UNIT = {  # what a litre, kilogram, metre or piece costs, by kind
    "oil": "19",
    "sealer": "38",
    "varnish": "52",
    "canvas": "31",
    "preservative": "16",
    "latex_filler": "24",
    "oil_filler": "33",
    "primer": "41",
    "enamel": "57",
    "glue": "36",
    "bedding": "29",
    "tacks": "44",
    "fastenings": "0.40",
    "abrasive": "1.20",
    "solvent": "11",
    "stripper": "23",
    "cleaner": "9",
    "rags": "6",
    "gloves": "0.50",
    "filter": "0.80",
    "timber": "14",
    "cane": "48",
}
CENT = Decimal("0.01")
NOT_ANSWERED = "H-119"  # its owner still thinks it over
FOUND_AT = ("H-115", "H-112", "H-109", "H-107")  # the first of these that is still in hand has a find


def load_taxes() -> None:
    """One tax on everything."""
    Tax.objects.create(shop=Shop.objects.get(pk=1), name="HST", rate_pct=Decimal(13))


def load_prices() -> None:
    """A price on every pack, a little less a litre in a larger one."""
    for pack in Pack.objects.filter(price=None).select_related("product"):
        each = PER_UNIT.get(pack.product.kind)
        if each:
            pack.price = max((Decimal(each) * pack.amount ** Decimal("0.93")).quantize(CENT), CENT)
            pack.save()


def send_the_estimate(hull: Hull, hand: Hand, at: datetime) -> Estimate:
    """Work the estimate out and send it."""
    words = (
        "Thank you for trusting us with your boat. This is what we found, and what it takes to make her sound again."
    )
    draft = prepare_estimate(hull_id=hull.pk, asked=Asked(words=words), by=hand.by, at=at)
    assert send_estimate(hull_id=hull.pk, estimate=draft.pk, hand=hand).done
    return Estimate.objects.select_related("hull__owner").get(pk=draft.pk)


def say_yes(sent: Estimate, guest: Guest) -> None:
    """Their owner approves."""
    reply = Reply(label=sent.label, version=sent.version, digest=sent.digest, yes=True, name=sent.hull.owner.name)
    assert answer_estimate(hull_id=sent.hull_id, reply=reply, hand=guest).done


def ask_owners(driver: "Driver") -> None:
    """One estimate waits for its answer, and one find on the way."""
    send_the_estimate(driver.hulls[NOT_ANSWERED], driver.hand(driver.now - timedelta(minutes=20)), driver.now)
    for tag in FOUND_AT:
        hull = driver.hulls[tag]
        if not Estimate.objects.agreed().filter(hull=hull).exists() or _past(hull, "fair"):
            continue
        _find(driver, hull)
        return


def _past(hull: Hull, stage: str) -> bool:
    return hull.work.stage_states.filter(stage=stage, started_at__isnull=False).exists()


def _find(driver: "Driver", hull: Hull) -> None:
    # What hands do at this very hour is done by then: work cannot have gone on that waits for the answer.
    last = Entry.objects.filter(hull=hull).latest("at").at
    at = max(driver.now - timedelta(minutes=15), last)
    note = "soft under the old filler, aft of the centre thwart"
    found = notes.add_find(hull_id=hull.pk, damage="planks", count=2, note=note, hand=driver.hand(at))
    assert found.entry is not None
    change = Change(
        words="2 lengths of planking. Soft under the old filler, aft of the centre thwart",
        stages=("planking",),
        hours=Decimal("2.5"),
        materials=Decimal("38"),
        find=found.entry.number,
    )
    assert raise_change_order(hull_id=hull.pk, change=change, hand=driver.hand(at)).done
