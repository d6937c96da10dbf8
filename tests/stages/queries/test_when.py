"""No day is named for a promise that the plan itself does not reach."""

from dataclasses import replace

import pytest
from django.template.loader import render_to_string

from stages.planner.forecast import Finish
from stages.queries.when import Chance, to_promise

TOLD = Finish(early=100, likely=120, suggested=150, late=170)
CHANCE = Chance(
    start="22 December",
    done="9 February",
    suggested="9 February",
    span="18 January – 29 January",
    overtakes=True,
    done_on=None,
    kept=None,
    later=(),
    left=(),
)


@pytest.mark.parametrize(("done", "promise"), [(110, 150), (150, 150), (400, 400)])
def test_nothing_is_promised_before_the_plan_has_it_done(done: int, promise: int) -> None:
    assert to_promise(TOLD, done) == promise


def test_a_boat_that_would_overtake_the_others_is_said_to() -> None:
    said = render_to_string("stages/plan_when.html#chance", {"chance": CHANCE})
    assert "then others may wait for it" in said
    assert "Promise no sooner than 9 February" in said
    said = render_to_string("stages/plan_when.html#chance", {"chance": replace(CHANCE, overtakes=False)})
    assert "then others may wait" not in said
    assert "In four of five cases done by 9 February" in said
