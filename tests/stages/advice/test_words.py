"""Tools and cautions: never one too few."""

import pytest

from stages.advice.answers import Finish, Outside
from stages.advice.cautions import CAUTIONS, cautions_for
from stages.advice.tools import TOOLS, tools_for
from stages.engine.vocab import Damage
from tests.stages.advice.boat import a_job

LEFT = {"inside": Finish.LEAVE, "brightwork": Finish.LEAVE}
NOTHING = {"outside": Outside.LEAVE, **LEFT}
EVERYTHING = {
    "outside": Outside.OIL,
    "inside": Finish.STRIP,
    "brightwork": Finish.STRIP,
    "counts": dict.fromkeys(Damage, 1),
}


@pytest.mark.parametrize(
    ("said", "named"),
    [
        (NOTHING, set()),
        ({**NOTHING, "brightwork": Finish.VARNISH}, {"lead", "rags", "solvents", "dust"}),
        ({**NOTHING, "inside": Finish.STRIP}, {"lead", "strippers", "rags", "solvents", "dust"}),
        ({**NOTHING, "outside": Outside.PAINT}, {"lead", "solvents", "dust"}),
        ({**NOTHING, "counts": {Damage.RIBS: 1}}, {"lead", "dust", "steam"}),
        (
            {**LEFT, "outside": Outside.LATEX},
            {"lead", "rags", "solvents", "preservative", "dust", "tension"},
        ),
        (EVERYTHING, {caution.key for _asked, caution in CAUTIONS}),
    ],
)
def test_each_danger_of_the_work_is_named(said: dict[str, object], named: set[str]) -> None:
    assert {caution.key for caution in cautions_for(a_job(**said))} == named


def test_lead_comes_first() -> None:
    assert cautions_for(a_job(**EVERYTHING))[0].key == "lead"


def test_whoever_does_everything_gets_every_tool_and_the_others_fewer() -> None:
    assert tools_for(a_job(**EVERYTHING)) == tuple(tool for _asked, tool in TOOLS)
    few = tools_for(a_job(**{**NOTHING, "brightwork": Finish.VARNISH}))
    assert not [tool for tool in few if "Canvas" in tool or "canvas" in tool]
    assert [tool for tool in few if "rags" in tool]
