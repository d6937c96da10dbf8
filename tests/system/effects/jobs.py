"""The job: say that it began, take its time, leave its effect."""

import os
import time
from pathlib import Path

from shop.jobs.registry import Effect as EffectOfJob
from shop.jobs.registry import Payload, job
from tests.system.effects.models import Effect

BEGUN = "RIBBAND_TEST_BEGUN"  # names the file that gets a line for each attempt


@job("test.effect")
def leave_effect(payload: Payload) -> EffectOfJob:
    """Write a line at once, work for a while, and leave one row in the end."""
    with Path(os.environ[BEGUN]).open("a") as begun:
        begun.write(f"{payload['key']}\n")
    time.sleep(payload["seconds"])
    return lambda: leave(payload["key"])


def leave(key: str) -> None:
    """Leave the effect; on purpose without any check of its own against a second time."""
    Effect.objects.create(key=key)
