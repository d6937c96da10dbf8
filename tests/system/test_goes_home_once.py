"""Two people hand the same boats over at once, from two processes: each boat goes home once, to one of them."""

import json
import time

from tests.system.at_once import begin, manage, run, said

BOATS = 6
WARM_S = 5.0
COUNT = """
from hulls.models import FinishRecord
from stages.models import Entry
print(FinishRecord.objects.count(), Entry.objects.filter(stage="hand_over").count())
"""


def test_on_sqlite_each_boat_goes_home_once(on_sqlite: dict[str, str]) -> None:
    check_each_goes_home_once(on_sqlite)


def test_on_postgres_each_boat_goes_home_once(on_postgres: dict[str, str]) -> None:
    check_each_goes_home_once(on_postgres)


def check_each_goes_home_once(settings: dict[str, str]) -> None:
    """Let two processes hand over at the same moments; the other one is told, and nothing is written twice."""
    manage(settings, "migrate", "-v0")
    run(settings, "-m", "tests.system.handers", "prepare", str(BOATS))
    at = str(time.time() + WARM_S)
    hands = [begin(settings, "-m", "tests.system.handers", "go", name, at, str(BOATS)) for name in ("ada", "ben")]
    of_ada, of_ben = (json.loads(said(hand)) for hand in hands)
    for one, other in zip(of_ada, of_ben, strict=True):
        assert sorted((one["new"], other["new"])) == [False, True]
        assert (other if one["new"] else one)["other"]
    assert manage(settings, "shell", "-v0", "-c", COUNT).split() == [str(BOATS), str(2 * BOATS)]
    assert "the tables equal the log" in manage(settings, "audit")
