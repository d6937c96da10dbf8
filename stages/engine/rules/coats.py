"""Coats: the number of coats that the plan asks for, of its kind, and the stack in its order."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import COMMON_PRACTICE, find
from stages.engine.vocab import FILLERS, Action, ProductKind, Severity, Surface
from stages.engine.work import Work

STACK = {
    ProductKind.OIL: 0,
    ProductKind.CANVAS: 1,
    ProductKind.PRESERVATIVE: 2,
    ProductKind.LATEX_FILLER: 3,
    ProductKind.OIL_FILLER: 3,
    ProductKind.PRIMER: 4,
    ProductKind.ENAMEL: 5,
    ProductKind.SEALER: 6,
    ProductKind.VARNISH: 7,
}


def _planned(work: Work, ask: Ask) -> Finding | None:
    spec = ask.stage
    assert spec is not None
    assert ask.product is not None
    if ask.product.kind is not spec.product or ask.surface is not spec.surface:
        words = say(
            gettext_noop("“%(stage)s” does not ask for %(product)s there."), stage=spec.name, product=ask.product.name
        )
        return find(RULE, words, say(gettext_noop("Choose a product of the kind that this step asks for.")))
    if work.state.stage(spec.key).coats_on >= spec.coats:
        words = say(gettext_noop("The plan asks for %(n)s coats, and they are on."), n=spec.coats)
        return find(RULE, words, say(gettext_noop("Finish the step.")), severity=Severity.WARNS)
    return None


def _stacked(work: Work, ask: Ask) -> Finding | None:
    assert ask.product is not None
    assert ask.surface is not None
    top = work.state.top(ask.surface)
    if top is None:
        return _first_on_skin(work, ask.product.kind) if ask.surface is Surface.SKIN else None
    under = work.product(top)
    if _goes_over(under.kind, ask.product.kind):
        return None
    words = say(gettext_noop("%(product)s does not go over %(base)s."), product=ask.product.name, base=under.name)
    return find(RULE, words, say(gettext_noop("Take the upper coats off first, or choose another product.")))


def _goes_over(under: ProductKind, upper: ProductKind) -> bool:
    two_fillers = under is not upper and under in FILLERS and upper in FILLERS
    return STACK[under] <= STACK[upper] and upper is not ProductKind.CANVAS and not two_fillers


def _first_on_skin(work: Work, kind: ProductKind) -> Finding | None:
    """Canvas goes on a bare hull; anything else on canvas, new or that with which the boat came."""
    old_canvas = Surface.SKIN in work.state.old_finish
    if kind is ProductKind.CANVAS and old_canvas:
        return find(
            RULE, say(gettext_noop("The old canvas is still on.")), say(gettext_noop("Take the old canvas off first."))
        )
    if kind is not ProductKind.CANVAS and not old_canvas:
        return find(
            RULE,
            say(gettext_noop("There is no canvas on this hull yet.")),
            say(gettext_noop("Put the canvas on first.")),
        )
    return None


def _check(work: Work, ask: Ask) -> Finding | None:
    if ask.action is Action.COAT and ask.product and ask.surface:
        planned = _planned(work, ask) if ask.stage else None
        return planned if planned and planned.refuses else _stacked(work, ask) or planned
    if ask.action is not Action.FINISH or ask.stage is None:
        return None
    on = work.state.stage(ask.stage.key).coats_on
    if on >= ask.stage.coats:
        return None
    words = say(gettext_noop("%(on)s of %(n)s coats are on."), on=on, n=ask.stage.coats)
    return find(RULE, words, say(gettext_noop("Put the remaining coats on.")))


RULE = Rule(
    id="coats",
    title=gettext_noop("Coats"),
    holds=gettext_noop("The coats that the plan asks for are on, each of its kind, in the order of the stack."),
    actions=frozenset({Action.COAT, Action.FINISH}),
    reason=gettext_noop("The film that was promised is the sum of its coats, each on the one that it was made for."),
    source=COMMON_PRACTICE,
    check=_check,
)
