"""Sand between: an oil-based coat, one past its recoat window, and an old finish are sanded before the next."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import COMMON_PRACTICE, find
from stages.engine.vocab import Action, Condition
from stages.engine.work import Work

CLEARS = gettext_noop("Sand it and record the grit.")


def _check(work: Work, ask: Ask) -> Finding | None:
    if ask.surface is None or ask.product is None:
        return None
    base = work.state.top(ask.surface)
    if base is None:
        return _old_finish(work, ask)
    if base.sanded_at is not None:
        return None
    under = work.product(base)
    if under.sand_between:
        return find(RULE, say(gettext_noop("The %(product)s has not been sanded."), product=under.name), say(CLEARS))
    closed = work.window_closed_at(base)
    if closed is not None and closed < ask.at and not under.smoothed_wet:
        words = say(gettext_noop("The recoat window of the %(product)s has closed."), product=under.name)
        return find(RULE, words, say(CLEARS))
    return None


def _old_finish(work: Work, ask: Ask) -> Finding | None:
    assert ask.surface is not None
    if work.state.old_finish.get(ask.surface, Condition.FLAKING) is Condition.FLAKING:
        return None  # none there, or sanding would not save it: see sound_base
    if ask.surface in work.state.old_sanded:
        return None
    return find(RULE, say(gettext_noop("The old finish has not been sanded.")), say(CLEARS))


RULE = Rule(
    id="sand_between",
    title=gettext_noop("Sand between"),
    holds=gettext_noop(
        "An oil-based coat, one past its recoat window, and an old finish are sanded before the next coat."
    ),
    actions=frozenset({Action.COAT}),
    reason=gettext_noop("Alkyd, oil varnish and one-part polyurethane grip a scratched coat, not a glossy one."),
    source=COMMON_PRACTICE,
    check=_check,
)
