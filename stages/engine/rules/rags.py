"""Rags: a stage that uses a self-heating oil is not finished or left before its rags are recorded as dealt with."""

from stages.engine.findings import Ask, Finding, Rule, gettext_noop, say
from stages.engine.rulebook import find
from stages.engine.vocab import Action
from stages.engine.work import Work


def _check(work: Work, ask: Ask) -> Finding | None:
    if ask.stage is None or work.state.stage(ask.stage.key).rags_due_since is None:
        return None
    return find(
        RULE,
        say(
            gettext_noop(
                "Oily rags of this step have not been recorded as dealt with; they can take fire by themselves."
            )
        ),
        say(gettext_noop("Spread them flat outdoors or drown them in a lidded metal can, then record it.")),
    )


RULE = Rule(
    id="rags",
    title=gettext_noop("Rags"),
    holds=gettext_noop(
        "A stage that uses a self-heating oil is finished or left out only when its rags are recorded as dealt with."
    ),
    actions=frozenset({Action.FINISH, Action.LEAVE_OUT}),
    reason=gettext_noop("Rags wet with drying oil heat up in a heap and have burnt shops down."),
    source="fire-safety tip sheet on oily rags (NFPA): no piles; dried outdoors, then a lidded metal can with water",
    check=_check,
    safety=True,
)
