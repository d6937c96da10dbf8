"""Lead: old finish is not sanded or scraped before a lead test is on record; after a positive one it is worked wet."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import find
from stages.engine.vocab import Action, Gate, Severity
from stages.engine.work import Work


def _disturbs(work: Work, ask: Ask) -> bool:
    if ask.action is Action.START:
        return ask.stage is not None and Gate.LEAD in ask.stage.gates
    bare_top = ask.surface is not None and work.state.top(ask.surface) is None
    return bare_top and ask.surface in work.state.old_finish


def _went_dry(work: Work, ask: Ask) -> Finding | None:
    if ask.stage is None or Gate.LEAD not in ask.stage.gates or not work.state.lead:
        return None
    if work.state.stage(ask.stage.key).wet_method:
        return None
    return find(
        RULE,
        say(gettext_noop("The old finish holds lead, and this step was begun dry.")),
        say(gettext_noop("Go on wet, and clear the dust away as the local rules ask.")),
        severity=Severity.WARNS,
    )


def _check(work: Work, ask: Ask) -> Finding | None:
    if ask.action is Action.FINISH:
        return _went_dry(work, ask)
    if not _disturbs(work, ask):
        return None
    if work.state.lead is None:
        return find(
            RULE,
            say(gettext_noop("No lead test of the old finish is on record.")),
            say(gettext_noop("Test the old paint, varnish and filler, and record the result.")),
        )
    if work.state.lead and not ask.wet_method:
        return find(
            RULE,
            say(gettext_noop("The old finish holds lead: it is not sanded or scraped dry.")),
            say(gettext_noop("Work it wet, with the protection that the local rules ask for, and say so.")),
        )
    return None


RULE = Rule(
    id="lead",
    title=gettext_noop("Lead"),
    holds=gettext_noop(
        "No dry sanding or scraping of old paint, varnish or filler before a lead test is on record; after a "
        "positive one it is worked wet."
    ),
    actions=frozenset({Action.START, Action.SAND, Action.FINISH}),
    reason=gettext_noop("Old paint, varnish and canvas filler often hold lead, and its dust poisons."),
    source="lead-safe work practice as national authorities publish it; common practice for the wet method",
    check=_check,
    safety=True,
)
