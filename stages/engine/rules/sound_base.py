"""Sound base: nothing goes over flaking or loose old varnish or paint."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import COMMON_PRACTICE, find
from stages.engine.vocab import Action, Condition, Severity
from stages.engine.work import Work


def _check(work: Work, ask: Ask) -> Finding | None:
    condition = work.state.old_finish.get(ask.surface) if ask.surface else None
    if condition is Condition.FLAKING:
        return find(
            RULE,
            say(gettext_noop("The old finish underneath is flaking; the new coat would come off with it.")),
            say(gettext_noop("Take the old finish off first.")),
        )
    if condition is Condition.UNKNOWN:
        return find(
            RULE,
            say(gettext_noop("Nobody has recorded whether the old finish underneath is sound.")),
            say(gettext_noop("Look at it and record its condition in the survey.")),
            severity=Severity.WARNS,
        )
    return None


RULE = Rule(
    id="sound_base",
    title=gettext_noop("Sound base"),
    holds=gettext_noop("Nothing goes over flaking or loose old varnish or paint."),
    actions=frozenset({Action.COAT}),
    reason=gettext_noop("A coat holds no better than what it lies on."),
    source=COMMON_PRACTICE,
    check=_check,
)
