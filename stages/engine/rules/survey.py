"""Survey: what was looked over is written down, since the plan of work follows from it."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import COMMON_PRACTICE, find
from stages.engine.vocab import Action, Gate, Severity
from stages.engine.work import Work


def _check(work: Work, ask: Ask) -> Finding | None:
    if ask.stage is None or Gate.SURVEY not in ask.stage.gates or work.state.counts:
        return None
    return find(
        RULE,
        say(gettext_noop("No survey is on record: every repair drops out of the plan.")),
        say(gettext_noop("Count what is broken, look at the old finish, and record the survey.")),
    )


RULE = Rule(
    id="survey",
    title=gettext_noop("Survey"),
    holds=gettext_noop("The survey step leaves a survey on record."),
    actions=frozenset({Action.FINISH}),
    severity=Severity.WARNS,
    reason=gettext_noop("Ribs, planking, stems, inwales and decks are in the plan of work by what the survey counted."),
    source=COMMON_PRACTICE,
    check=_check,
)
