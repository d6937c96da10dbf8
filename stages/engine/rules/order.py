"""Order: every stage before it is finished or left out, and work is done on a stage that is in hand."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import COMMON_PRACTICE, find
from stages.engine.vocab import Action
from stages.engine.work import Work


def _check(work: Work, ask: Ask) -> Finding | None:
    if ask.stage is None:
        return None
    if not work.open(ask.stage):
        return find(
            RULE,
            say(gettext_noop("“%(stage)s” is finished, left out or not in this hull's plan."), stage=ask.stage.name),
            say(gettext_noop("Put it back into the plan first, or strike its finish.")),
        )
    started_at = work.state.stage(ask.stage.key).started_at
    if ask.action is not Action.START and (started_at is None or started_at > ask.at):
        return find(
            RULE,
            say(gettext_noop("“%(stage)s” has not been started."), stage=ask.stage.name),
            say(gettext_noop("Start it first.")),
        )
    waits = work.open_stages & work.route.before[ask.stage.key]
    if not waits:
        return None
    nearest = waits.intersection(ask.stage.after) or waits
    first = min((work.route.by_key[key] for key in nearest), key=lambda spec: spec.position)
    return find(
        RULE,
        say(gettext_noop("“%(first)s” comes before “%(stage)s”."), first=first.name, stage=ask.stage.name),
        say(gettext_noop("Finish “%(first)s”, or leave it out with a reason."), first=first.name),
    )


RULE = Rule(
    id="order",
    title=gettext_noop("Order"),
    holds=gettext_noop("Every stage before it is finished or left out, and work is done on a stage that is in hand."),
    actions=frozenset({Action.START, Action.COAT, Action.FINISH}),
    reason=gettext_noop("A step done too early hides or spoils the one that was skipped."),
    source=COMMON_PRACTICE,
    check=_check,
)
