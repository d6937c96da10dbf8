"""Change orders: what was found is asked of the boat's owner, and the steps that it touches wait for the answer."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from django.utils.translation import gettext as _

from hulls.charging import terms_of
from hulls.estimate import EstimateError, hours_line, reckon, subcontract
from hulls.estimate import Line as Charge
from hulls.estimate.lines import material_line
from hulls.models import Estimate, EstimateKind
from hulls.wording import gettext_noop
from shop.models import Shop
from stages.engine.errors import EngineError
from stages.engine.findings import Ask
from stages.engine.log import EntryKind
from stages.services.desk import Desk
from stages.services.estimates import WORDS_LENGTH, figures, freeze
from stages.services.orders import Hand, Line, Outcome
from stages.services.record import record_whole
from stages.services.texts import checked_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What a change order asks for.

    Parameters
    ----------
    words : str
        What was found and what is to be done about it.
    stages : tuple of str
        Keys of the stages that it touches.
    hours : Decimal
        Hours more, h.
    materials, price : Decimal
        Materials as they are charged, and any other lump sum.
    find : int or None
        The line of the log that tells of the find.
    """

    words: str
    stages: tuple[str, ...]
    hours: Decimal = Decimal(0)
    materials: Decimal = Decimal(0)
    price: Decimal = Decimal(0)
    find: int | None = None


def raise_change_order(*, hull_id: int, change: Change, hand: Hand) -> Outcome:
    """Send a change order to the boat's owner; from now on the stages that it touches wait for the answer.

    Raises
    ------
    EngineError
        With the field: no words, no stage or one that the route has not, a figure that no estimate can hold, or a find
        that is not on record or was asked about before.
    """
    words = checked_text(change.words, "words", WORDS_LENGTH)

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        stages = _checked_stages(desk, change.stages)
        _check_find(desk, change.find)
        try:
            terms = replace(terms_of(Shop.the_one()), deposit_pct=Decimal(0))  # the deposit was paid already
            sums = reckon(_charges(change), terms)
        except EstimateError as error:
            raise EngineError(error.field, error.message) from error
        row = Estimate(
            hull_id=hull_id,
            kind=EstimateKind.CHANGE_ORDER,
            words=words,
            stages=stages,
            find=change.find,
            made_at=hand.at,
            made_by=hand.by,
            **figures(sums),
        )
        return freeze(row, hand), None

    return record_whole(hull_id=hull_id, hand=hand, plan=plan)


def _charges(change: Change) -> Iterable[Charge]:
    shop = Shop.the_one()
    currency = terms_of(shop).currency
    if change.hours:
        yield hours_line(currency, words=_("Work"), hours=change.hours, rate=shop.hourly_rate)
    if change.materials:
        price = currency.checked(change.materials, "materials")
        yield material_line(currency, words=_("Materials"), amount=Decimal(1), unit="", cost=price)
    if change.price:
        yield subcontract(currency, words=_("Other"), price=change.price)


def _checked_stages(desk: Desk, stages: tuple[str, ...]) -> list[str]:
    if not stages:
        raise EngineError("stages", gettext_noop("Say which steps it touches; the others go on."))
    return [desk.spec(stage).key for stage in stages]


def _check_find(desk: Desk, find: int | None) -> None:
    if find is None:
        return
    if not any(entry.id == find and entry.kind is EntryKind.FOUND for entry in desk.log):
        raise EngineError("", gettext_noop("That find is not on record."))
    if Estimate.objects.filter(hull_id=desk.row.pk, find=find).exclude(answer="withdrawn").exists():
        raise EngineError("", gettext_noop("The owner was asked about this find before."))
