"""What the rule modules share: their source line and the making of a finding."""

from datetime import datetime

from stages.engine.findings import Finding, Rule, Words
from stages.engine.vocab import Severity

COMMON_PRACTICE = "common practice, no published source"


def find(
    rule: Rule, words: Words, clears: Words, *, earliest: datetime | None = None, severity: Severity | None = None
) -> Finding:
    """A finding of a rule; ``severity`` softens it where the rule says so."""
    return Finding(
        rule=rule.id,
        severity=severity or rule.severity,
        safety=rule.safety,
        words=words,
        clears=clears,
        earliest=earliest,
    )
