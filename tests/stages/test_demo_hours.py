"""The demo shop loads at any hour of the day, whatever its hands are at by then."""

from datetime import UTC, datetime

import pytest
import time_machine

from hulls.models import Estimate, EstimateKind
from stages.demo.load import load_demo


@pytest.mark.django_db
def test_it_loads_just_after_hands_began_what_an_owner_is_asked_about() -> None:
    with time_machine.travel(datetime(2026, 11, 25, 20, 20, tzinfo=UTC)):
        load_demo()
    assert Estimate.objects.filter(kind=EstimateKind.CHANGE_ORDER, find__isnull=False).exists()
