"""Two processes post the same readings at once, while a third keeps the air: each reading is there once."""

import json
import time

from tests.system.at_once import begin, manage, run, said
from tests.system.senders import BATCHES, EACH

SENDERS = ("-m", "tests.system.senders")
WARM_S = 6.0
WATCH_S = 12.0
MOMENTS = (BATCHES - 1) * EACH // 2 + EACH
COUNT = (
    "from shop.models import *; readings = Reading.objects;"
    "print(readings.count(), RainFall.objects.count(), readings.values('sensor', 'at').distinct().count(),"
    " Pulse.now().air_turn)"
)


def test_on_sqlite_each_reading_is_there_once(on_sqlite: dict[str, str]) -> None:
    check_each_is_there_once(on_sqlite)


def test_on_postgres_each_reading_is_there_once(on_postgres: dict[str, str]) -> None:
    check_each_is_there_once(on_postgres)


def check_each_is_there_once(settings: dict[str, str]) -> None:
    """Let two processes send the same, and a third one read on; nothing is lost, doubled, refused, or unseen."""
    manage(settings, "migrate", "-v0")
    tokens = json.loads(run(settings, *SENDERS, "prepare"))
    at = time.time() + WARM_S
    senders = [begin(settings, *SENDERS, "send", str(at), *order) for order in (tokens, tokens[::-1])]
    watcher = begin(settings, *SENDERS, "watch", str(at), str(WATCH_S))
    told = [json.loads(said(sender)) for sender in senders]
    assert json.loads(said(watcher)) is True
    assert [one["failed"] for one in told] == [0, 0]
    of_both_zones, of_the_yard = 2 * MOMENTS, MOMENTS  # air in both, rain in the yard; the loft's rain is refused
    assert sum(one["recorded"] for one in told) == of_both_zones + of_the_yard
    assert sum(one["recorded"] + one["repeated"] for one in told) == 2 * 3 * BATCHES * EACH
    readings, rain, moments, turns = map(int, manage(settings, "shell", "-v0", "-c", COUNT).split())
    assert (readings, rain, moments) == (of_both_zones, of_the_yard, of_both_zones)
    assert turns == 2 * len(tokens) * BATCHES
