"""Paid: hand-over waits for the balance, or for the shop owner's waiver."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import COMMON_PRACTICE, find
from stages.engine.vocab import Action, Gate
from stages.engine.work import Work


def _check(work: Work, ask: Ask) -> Finding | None:
    if ask.stage is None or Gate.HAND_OVER not in ask.stage.gates or not work.owes:
        return None
    return find(
        RULE,
        say(gettext_noop("The balance of this boat is not paid yet.")),
        say(gettext_noop("The payment is recorded, or the shop's owner lets the boat go with a written reason.")),
    )


RULE = Rule(
    id="paid",
    title=gettext_noop("Paid"),
    holds=gettext_noop("Hand-over waits for the balance, where something was agreed or billed."),
    actions=frozenset({Action.FINISH}),
    reason=gettext_noop("A boat that has left is hard to be paid for."),
    source=COMMON_PRACTICE,
    check=_check,
    standing=False,  # it concerns the moment: a payment that is struck later does not bring the boat back
)
