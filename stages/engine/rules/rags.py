"""Rags: no stage that uses a self-heating oil is finished or left, and no boat goes, before they are dealt with."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import find
from stages.engine.vocab import Action, Gate
from stages.engine.work import Work


def _lying(work: Work, ask: Ask) -> str | None:
    """Name of a step whose rags lie about: the one asked about; where the boat leaves, any, in the plan or not."""
    assert ask.stage is not None
    leaves = ask.action is Action.FINISH and Gate.HAND_OVER in ask.stage.gates
    asked = work.route.stages if leaves else (ask.stage,)
    return next((spec.name for spec in asked if work.state.stage(spec.key).rags_due_since is not None), None)


def _check(work: Work, ask: Ask) -> Finding | None:
    name = _lying(work, ask) if ask.stage else None
    if name is None:
        return None
    return find(
        RULE,
        say(
            gettext_noop(
                "Oily rags of “%(stage)s” have not been recorded as dealt with; they can take fire by themselves."
            ),
            stage=name,
        ),
        say(gettext_noop("Spread them flat outdoors or drown them in a lidded metal can, then record it.")),
    )


RULE = Rule(
    id="rags",
    title=gettext_noop("Rags"),
    holds=gettext_noop(
        "A stage that uses a self-heating oil is finished or left out only when its rags are recorded as dealt with; "
        "no boat is handed over while any lie about."
    ),
    actions=frozenset({Action.FINISH, Action.LEAVE_OUT}),
    reason=gettext_noop("Rags wet with drying oil heat up in a heap and have burnt shops down."),
    source="fire-safety tip sheet on oily rags (NFPA): no piles; dried outdoors, then a lidded metal can with water",
    check=_check,
    safety=True,
)
