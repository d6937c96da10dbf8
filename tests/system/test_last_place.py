"""Two hulls are moved to the last place of a station at once, from two processes: one stands there, one is refused."""

import json
import time

from tests.system.at_once import begin, manage, run, said

RAILS = 16
WARM_S = 4.0


def test_on_sqlite_one_of_two_gets_the_last_place(on_sqlite: dict[str, str]) -> None:
    check_one_of_two_gets_it(on_sqlite)


def test_on_postgres_one_of_two_gets_the_last_place(on_postgres: dict[str, str]) -> None:
    check_one_of_two_gets_it(on_postgres)


def check_one_of_two_gets_it(settings: dict[str, str]) -> None:
    """Let two processes move their hulls to the same rails at the same moments."""
    manage(settings, "migrate", "-v0")
    run(settings, "-m", "tests.system.movers", "prepare", str(RAILS))
    at = str(time.time() + WARM_S)
    movers = [begin(settings, "-m", "tests.system.movers", "move", name, at, str(RAILS)) for name in ("ada", "ben")]
    told = [json.loads(said(mover)) for mover in movers]
    for of_ada, of_ben in zip(*told, strict=True):
        assert of_ada["done"] is not of_ben["done"]
        assert (of_ben if of_ada["done"] else of_ada)["rules"] == ["place"]
    assert "the tables equal the log" in manage(settings, "audit")
