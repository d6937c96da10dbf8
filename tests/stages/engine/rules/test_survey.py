"""Survey: common practice, no published source."""

from stages.engine.rules import judge
from stages.engine.vocab import Damage, Gate, Severity
from tests.stages.engine.trade import a_stage, a_work, asking_to_finish

LOOKING_OVER = a_stage("survey", gates=frozenset({Gate.SURVEY}))


def test_a_survey_step_that_leaves_no_survey_is_warned_of() -> None:
    found = [f for f in judge(a_work(), asking_to_finish(LOOKING_OVER)) if f.rule == "survey"]
    assert [finding.severity for finding in found] == [Severity.WARNS]


def test_a_survey_that_found_nothing_broken_is_a_survey() -> None:
    looked = a_work(counts={Damage.RIBS: 0})
    assert [f for f in judge(looked, asking_to_finish(LOOKING_OVER)) if f.rule == "survey"] == []


def test_other_steps_leave_no_survey() -> None:
    assert [f for f in judge(a_work(), asking_to_finish(a_stage())) if f.rule == "survey"] == []
