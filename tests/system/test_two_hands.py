"""Two people finish the same step at once, from two processes: one entry, and the other sees what happened."""

import json
import time

from tests.system.at_once import begin, manage, run, said

HULLS = 12
WARM_S = 4.0


def test_on_sqlite_one_of_two_finishes_and_the_other_is_told(on_sqlite: dict[str, str]) -> None:
    check_one_of_two_finishes(on_sqlite)


def test_on_postgres_one_of_two_finishes_and_the_other_is_told(on_postgres: dict[str, str]) -> None:
    check_one_of_two_finishes(on_postgres)


def check_one_of_two_finishes(settings: dict[str, str]) -> None:
    """Let two processes finish the same steps at the same moments; exactly one of them does, the other names it."""
    manage(settings, "migrate", "-v0")
    run(settings, "-m", "tests.system.hands", "prepare", str(HULLS))
    at = str(time.time() + WARM_S)
    hands = [begin(settings, "-m", "tests.system.hands", "finish", name, at, str(HULLS)) for name in ("ada", "ben")]
    told = [json.loads(said(hand)) for hand in hands]
    for of_ada, of_ben in zip(*told, strict=True):
        assert of_ada["done"] is not of_ben["done"]
        assert of_ada["by"] == (None if of_ada["done"] else "ben")
        assert of_ben["by"] == (None if of_ben["done"] else "ada")
    count = "from stages.models import Entry; print(Entry.objects.filter(kind='finished').count())"
    assert manage(settings, "shell", "-v0", "-c", count).strip() == str(HULLS)
    assert "the tables equal the log" in manage(settings, "audit")
