"""Sound base. Common practice, no published source."""

import pytest

from stages.engine.rules import judge
from stages.engine.vocab import Condition, Severity, Surface
from tests.stages.engine.trade import NOW, a_work, asking_to_coat


@pytest.mark.parametrize(
    ("condition", "severity"),
    [(Condition.FLAKING, Severity.REFUSES), (Condition.UNKNOWN, Severity.WARNS), (Condition.SOUND, None)],
)
def test_new_varnish_over_old(condition: Condition, severity: Severity | None) -> None:
    work = a_work(old={Surface.BRIGHTWORK: condition}, old_sanded={Surface.BRIGHTWORK: NOW})
    found = [(f.rule, f.severity) for f in judge(work, asking_to_coat("varnish"))]
    assert found == ([("sound_base", severity)] if severity else [])


def test_flaking_varnish_elsewhere_is_no_matter() -> None:
    work = a_work(old={Surface.INSIDE: Condition.FLAKING})
    assert judge(work, asking_to_coat("varnish")) == ()


def test_sanding_does_not_make_flaking_varnish_sound() -> None:
    work = a_work(old={Surface.BRIGHTWORK: Condition.FLAKING}, old_sanded={Surface.BRIGHTWORK: NOW})
    assert [f.rule for f in judge(work, asking_to_coat("varnish")) if f.refuses] == ["sound_base"]
