"""Stores: the products of the stage are in stock, in date, and enough."""

from dataclasses import replace
from datetime import UTC, date, datetime, time

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Quantity, Rule, Words, say
from stages.engine.products import Product
from stages.engine.rulebook import COMMON_PRACTICE, find
from stages.engine.stores import Stock
from stages.engine.usage import coat_amount, rest_amount
from stages.engine.vocab import Action, Severity
from stages.engine.work import Work

NOON = time(12)
TRIFLE = 1e-6  # of a unit: two sums of the same thousandths may differ by so much


def _check(work: Work, ask: Ask) -> Finding | None:
    spec = ask.stage
    product = ask.product if ask.action is Action.COAT else work.product_for(spec) if spec and spec.coats else None
    if product is None:
        return None
    stock = ask.stock or work.world.stores.get(product.id)
    if stock is None:
        return _not_kept(work, ask, product)
    day, one = _day(work, ask), _one_coat(work, ask, product)
    if not _covers(stock, one, day):
        return _short(work, ask, product, stock, one)
    return _for_all_coats(work, ask, product, stock) or _settled(product, stock, day)


def _covers(stock: Stock, need: float | None, day: date) -> bool:
    held = stock.in_date(day)
    return held > 0 and (need is None or held + TRIFLE >= need)


def _day(work: Work, ask: Ask) -> date:
    return ask.at.astimezone(work.world.zone_info).date()


def _one_coat(work: Work, ask: Ask, product: Product) -> float | None:
    if ask.amount is not None:
        return ask.amount
    return coat_amount(work, product, ask.stage, ask.surface) if ask.stage else None


def _not_kept(work: Work, ask: Ask, product: Product) -> Finding | None:
    """A shop that keeps no stores at all hears nothing; one that does is told what they do not count."""
    if ask.action is not Action.COAT or not work.world.stores or not product.counted:
        return None
    words = say(gettext_noop("No %(product)s ever came into the stores: nothing is drawn from them."), **_of(product))
    clears = say(gettext_noop("Take its cans into the stores."))
    return find(RULE, words, clears, severity=Severity.WARNS)


def _short(work: Work, ask: Ask, product: Product, stock: Stock, need: float | None) -> Finding:
    day = _day(work, ask)
    clears, earliest = _clears(work, ask, product, stock, need or 0.0)
    return find(RULE, _missing(product, stock, need, day), clears, earliest=earliest)


def _missing(product: Product, stock: Stock, need: float | None, day: date) -> Words:
    held, past = stock.in_date(day), stock.past(day)
    if held > 0:
        there, wanted = Quantity(value=held, unit=product.unit), Quantity(value=need or 0.0, unit=product.unit)
        words = gettext_noop("The stores hold %(there)s of %(product)s in date, and this takes %(need)s.")
        return say(words, there=there, need=wanted, **_of(product))
    if past:
        words = gettext_noop("The %(product)s in the stores went out of date: its last day was %(day)s.")
        return say(words, day=past, **_of(product))
    return say(gettext_noop("The stores hold no %(product)s."), **_of(product))


def _clears(work: Work, ask: Ask, product: Product, stock: Stock, need: float) -> tuple[Words, datetime | None]:
    today = _day(work, ask)
    here = stock.there_by(need, today)
    if here is None:
        return say(gettext_noop("Order some, or count what stands on the shelf.")), None
    amount = Quantity(value=sum(coming.amount for coming in stock.coming), unit=product.unit)
    if here < today:
        return say(gettext_noop("%(amount)s on order should have been here on %(day)s."), amount=amount, day=here), None
    words = say(gettext_noop("%(amount)s on order should be here on %(day)s."), amount=amount, day=here)
    noon = datetime.combine(here, NOON, tzinfo=work.world.zone_info).astimezone(UTC)
    return words, noon if noon > ask.at else None


def _for_all_coats(work: Work, ask: Ask, product: Product, stock: Stock) -> Finding | None:
    """Whoever starts a step is told when the stores will not last for all of its coats."""
    if ask.action is not Action.START or ask.stage is None:
        return None
    need = rest_amount(work, product, ask.stage)
    if need is None or _covers(stock, need, _day(work, ask)):
        return None
    return _softly(_short(work, ask, product, stock, need))


def _softly(finding: Finding) -> Finding:
    return replace(finding, severity=Severity.WARNS)


def _settled(product: Product, stock: Stock, day: date) -> Finding | None:
    first = stock.pouring(day)[0]
    if not first.settled(day):
        return None
    words = say(gettext_noop("The %(product)s has stood for long and has settled."), **_of(product))
    clears = say(gettext_noop("Shake or stir it until nothing is left at the bottom, as its label says."))
    return find(RULE, words, clears, severity=Severity.CAUTIONS)


def _of(product: Product) -> dict[str, object]:
    return {"product": product.name}


RULE = Rule(
    id="stores",
    title=gettext_noop("Stores"),
    holds=gettext_noop("The products of the stage are in stock, in date, and enough."),
    actions=frozenset({Action.START, Action.COAT}),
    reason=gettext_noop("A coat that runs out half-way shows its lap for ever, and old paint may never harden."),
    source=COMMON_PRACTICE,
    check=_check,
    standing=False,
)
