"""No sanding: a quick water-based sealer needs none between its coats; a latex filler is smoothed wet."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import COMMON_PRACTICE, find
from stages.engine.vocab import Action, ProductKind, Severity
from stages.engine.work import Work


def _check(work: Work, ask: Ask) -> Finding | None:
    top = work.state.top(ask.surface) if ask.surface else None
    if top is None:
        return None
    product = work.product(top)
    if product.smoothed_wet:
        return find(
            RULE,
            say(gettext_noop("The %(product)s sands badly: it clogs the paper and tears."), product=product.name),
            say(gettext_noop("Smooth it with a wet hand or cloth while it is fresh.")),
        )
    if product.kind is ProductKind.SEALER and not product.sand_between:
        closed = work.window_closed_at(top)
        if closed is None or closed >= ask.at:
            return find(
                RULE,
                say(gettext_noop("The %(product)s needs no sanding between coats."), product=product.name),
                say(gettext_noop("Put the next coat on as it is.")),
                severity=Severity.CAUTIONS,
            )
    return None


RULE = Rule(
    id="no_sanding",
    title=gettext_noop("No sanding"),
    holds=gettext_noop(
        "A quick water-based sealer needs no sanding between its coats; a latex filler is smoothed wet, "
        "since it sands badly."
    ),
    actions=frozenset({Action.SAND}),
    reason=gettext_noop("Sanding a quick sealer wastes an hour and a coat; latex filler rolls up under the paper."),
    source=COMMON_PRACTICE,
    check=_check,
)
