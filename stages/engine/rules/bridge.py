"""Bridge: no oil-based finish straight on latex filler; a high-build primer goes between."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import COMMON_PRACTICE, find
from stages.engine.vocab import Action, ProductKind
from stages.engine.work import Work


def _check(work: Work, ask: Ask) -> Finding | None:
    if ask.surface is None or ask.product is None:
        return None
    base = work.state.top(ask.surface)
    if base is None or work.product(base).kind is not ProductKind.LATEX_FILLER:
        return None
    if not ask.product.oil_based or ask.product.kind is ProductKind.PRIMER:
        return None
    words = say(
        gettext_noop("The %(product)s would lie straight on the %(base)s and not hold."),
        product=ask.product.name,
        base=work.product(base).name,
    )
    return find(RULE, words, say(gettext_noop("Put a high-build primer between them.")))


RULE = Rule(
    id="bridge",
    title=gettext_noop("Bridge"),
    holds=gettext_noop("No oil-based finish goes straight on latex filler: a high-build primer goes between."),
    actions=frozenset({Action.COAT}),
    reason=gettext_noop("An oil-based finish does not bond to latex filler; a high-build primer bridges the two."),
    source=COMMON_PRACTICE,
    check=_check,
)
