"""Whatever is tried, in whatever order: no stack breaks a rule, no line or litre is lost, and the audit holds."""

import os

import pytest
from hypothesis import HealthCheck, settings
from hypothesis.stateful import RuleBasedStateMachine, run_state_machine_as_test

from tests.stages.machines.crew import Crew
from tests.stages.machines.keeper import Keeper
from tests.stages.machines.shop import a_yard

# RIBBAND_EXAMPLES=500 looks longer, and elsewhere each time; the checks look at the same few examples every time.
EXAMPLES = int(os.environ.get("RIBBAND_EXAMPLES", "0"))


@pytest.mark.django_db
def test_whatever_the_crew_tries_the_log_holds() -> None:
    Crew.yard = a_yard()
    run(Crew)


@pytest.mark.django_db
def test_whatever_happens_to_the_stores_they_hold_what_came_in_less_what_went_out() -> None:
    Keeper.yard = a_yard()
    run(Keeper)


def run(machine: type[RuleBasedStateMachine]) -> None:
    """Try what a machine can do in whatever order it finds."""
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=EXAMPLES or 20,
            stateful_step_count=50,
            derandomize=not EXAMPLES,
            deadline=None,
            database=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
