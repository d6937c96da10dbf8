"""Approved: work past the survey waits for the approved estimate; a change order stops the steps that it touches."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import COMMON_PRACTICE, find
from stages.engine.state import Agreement
from stages.engine.vocab import Action, Answer, Gate, Paper
from stages.engine.work import Work

PASSES = frozenset({Action.FINISH, Action.LEAVE_OUT})  # either way what comes after the step may begin


def estimates(work: Work) -> dict[str, Agreement]:
    """The estimates that this hull's owner was sent and that were not withdrawn, by what they are called."""
    return {
        label: held
        for label, held in work.state.agreements.items()
        if held.paper is Paper.ESTIMATE and held.answer is not Answer.WITHDRAWN
    }


def stopped_by(work: Work, stage: str) -> str | None:
    """What the open change order is called that stops a stage; None where none does."""
    orders = (
        label
        for label, held in work.state.agreements.items()
        if held.paper is Paper.CHANGE_ORDER and held.is_open and stage in held.stages
    )
    return next(orders, None)


def _check(work: Work, ask: Ask) -> Finding | None:
    if ask.stage is None:
        return None
    if Gate.APPROVED in ask.stage.gates and ask.action in PASSES:
        return _estimate(work)
    order = stopped_by(work, ask.stage.key) if ask.action is not Action.LEAVE_OUT else None
    if order is None:
        return None
    words = say(
        gettext_noop("“%(stage)s” waits: change order %(order)s has no answer yet."), stage=ask.stage.name, order=order
    )
    return find(RULE, words, say(gettext_noop("The boat's owner approves or declines it, or the shop withdraws it.")))


def _estimate(work: Work) -> Finding | None:
    sent = estimates(work)
    if any(held.answer is Answer.APPROVED for held in sent.values()):
        return None
    if not sent:
        if not work.world.estimates_first:
            return None
        words = say(gettext_noop("No estimate was sent to the owner of this boat yet."))
        return find(
            RULE, words, say(gettext_noop("Make the estimate and send it; the owner's yes finishes this step."))
        )
    label, last = list(sent.items())[-1]
    if last.answer is Answer.DECLINED:
        words = say(gettext_noop("The boat's owner declined estimate %(estimate)s."), estimate=label)
        return find(RULE, words, say(gettext_noop("Talk it over, and send a new version.")))
    words = say(gettext_noop("The boat's owner has not approved estimate %(estimate)s yet."), estimate=label)
    return find(RULE, words, say(gettext_noop("The owner's yes on the progress page finishes this step.")))


RULE = Rule(
    id="approved",
    title=gettext_noop("Approved"),
    holds=gettext_noop(
        "Work past the survey waits for the approved estimate; an open change order stops the steps that it touches."
    ),
    actions=frozenset({Action.START, Action.COAT, Action.SAND, Action.FINISH, Action.LEAVE_OUT}),
    reason=gettext_noop("Nobody likes a bill for work that they never agreed to."),
    source=COMMON_PRACTICE,
    check=_check,
)
