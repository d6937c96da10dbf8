"""A hull's next step in words: what hands can do now, or what it waits for, with its ring and its moment."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.text import Truncator, capfirst
from django.utils.translation import gettext as _

from shop.models import ProductKind
from stages.engine.assess import StageStatus
from stages.engine.findings import Finding
from stages.engine.vocab import Action, State
from stages.engine.work import Work
from stages.saying import hours, said, when

RING_STEP = 5  # in per cent: a ring that crept on would have every screen draw the floor anew all the time
LONGEST_WORDS = 70
MORE_TO_DO = frozenset({Action.START, Action.COAT, Action.SAND, Action.FINISH})


@dataclass(frozen=True, slots=True)
class Ring:
    """How much of its drying is behind a coat: `pct` in steps of five, and the same in words."""

    pct: int
    title: str


def deed(status: StageStatus) -> str:
    """What hands do next on a stage: "start", "coat 2 of 3", "move to Wood bench"."""
    spec, count = status.spec, status.record.coats_on + 1
    coat = _("coat %(n)s of %(all)s") % {"n": count, "all": spec.coats}
    match status.next:
        case Action.COAT:
            if spec.coats > 1 or spec.product is None:
                return coat
            return _("put on the %(product)s") % {"product": ProductKind(spec.product).label}
        case Action.SAND:
            return _("sand before %(coat)s") % {"coat": coat} if spec.coats > 1 else _("sand")
        case Action.RAGS:
            return _("see to the oily rags")
        case Action.MOVE:
            return _("move to %(station)s") % {"station": status.move_to.name if status.move_to else ""}
        case Action.FINISH:
            return _("finish") if spec.coats else _("go on and finish")
    return _("start")


def left_h(status: StageStatus) -> float | None:
    """Hours of work left in a stage; None where no more than a word is missing."""
    if status.next not in MORE_TO_DO:
        return None
    coats, on = status.spec.coats, status.record.coats_on
    if not coats:
        return status.hours
    return status.hours * (coats - on) / coats if on < coats else None


def step_words(status: StageStatus, work: Work) -> str:
    """The next step in a few words, or what it waits for."""
    if status.hands:
        return status.spec.name if _says_itself(status) else f"{status.spec.name}: {deed(status)}"
    if status.drying:
        return _drying_words(status, work)
    refusing = [finding for finding in status.findings if finding.refuses]
    return _short(refusing[0], work) if refusing else status.spec.name


def step_when(status: StageStatus, now: datetime) -> str:
    """When hands can do it: "now · 3 h", "Thu 14:10", or nothing where nobody knows."""
    if status.hands:
        work_h = left_h(status)
        return _("now") if work_h is None else _("now · %(hours)s") % {"hours": hours(work_h)}
    if status.drying:
        return when(status.drying.at, now) if status.drying.at else _("stands still")
    return when(status.earliest, now) if status.earliest else ""


def ring_of(status: StageStatus) -> Ring | None:
    """The ring of a stage whose coat dries, has dried, or airs outdoors; None for the others."""
    if status.drying:
        return _ring(status.drying.share)
    if status.hands and status.record.coats_on and status.next in MORE_TO_DO:
        return Ring(100, _("dry"))
    airing = next((f for f in status.findings if f.rule == "outdoors" and "n" in f.words.values), None)
    if status.state is State.DRYING and airing:
        return _ring(int(str(airing.words.values["done"])) / int(str(airing.words.values["n"])))
    return None


def _says_itself(status: StageStatus) -> bool:
    """Whether the name of the stage says what hands do."""
    coats = status.spec.coats
    plain = {Action.START: True, Action.COAT: coats == 1, Action.FINISH: not coats}
    return plain.get(status.next or Action.MOVE, False)


def _drying_words(status: StageStatus, work: Work) -> str:
    assert status.drying is not None
    coat = status.drying.coat
    product = capfirst(ProductKind(work.product(coat).kind).label)
    spec = work.route.by_key.get(coat.stage)
    if spec is None or spec.coats < 2 or not coat.number:
        return _("%(product)s drying") % {"product": product}
    return _("%(product)s drying, coat %(n)s") % {"product": product, "n": coat.number}


def _short(finding: Finding, work: Work) -> str:
    """A finding in the few words that fit under a rail."""
    values = finding.words.values
    match finding.rule:
        case "place" if "station" in values:
            return _("Waits for a place: %(station)s") % values
        case "outdoors" if "n" in values:
            return _("Airing, dry day %(done)s of %(n)s") % values
        case "lead" if work.state.lead is None:
            return _("Waits for a lead test")
    return Truncator(said(finding.words)).chars(LONGEST_WORDS)


def _ring(share: float) -> Ring:
    pct = ring_pct(share)
    return Ring(pct, _("%(pct)s %% of the way") % {"pct": pct})


def ring_pct(share: float) -> int:
    """A share of the way, 0 to 1, as a ring shows it: in steps, and full only once all is done."""
    return min(100 - RING_STEP, int(share * 100 / RING_STEP) * RING_STEP)
